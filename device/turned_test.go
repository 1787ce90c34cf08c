package device_test

import (
	"context"
	"flag"
	"fmt"
	"strings"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/profiles"
)

var thorough = flag.Bool("thorough", false, "turn the feed under every job on every line, and not under a quarter of them")

// turnable is a simulated plotter whose feed a person turns up or down.
type turnable interface {
	sim.Plotter
	TurnFeed(times float64)
}

func turned(m profiles.Machine, times float64) turnable {
	var p turnable = sim.NewHPGL(m)
	if m.Language == profiles.GCode {
		p = sim.NewController(m)
	}
	p.TurnFeed(times)
	return p
}

// rings returns n circles, each of which may be drawn between two looks.
func rings(n int, radius, apart float64) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = paths.Stroke{paths.Circle(pt(25+float64(i%4)*apart, 25+float64(i/4)*apart), radius)}
	}
	return out
}

// dashes returns n strokes in turn: a line of 1 mm, and a dot.
func dashes(n int) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		at := pt(20+float64(i%20)*6, 90+float64(i/20)*6)
		out[i] = paths.Polyline(at, at.Add(paths.Point{X: float64(1 - i%2)}))
	}
	return out
}

// A person may turn the feed at the machine down, or up to twice what the program says
// (common practice), and reports may come seldom and late, on a slow line most of all.
// The work is right, so nothing stops it: not that the machine is farther on than was
// thought, nor that it is where it was at the last look.
func TestFeedTurned(t *testing.T) {
	t.Parallel()
	long := []paths.Stroke{paths.Polyline(pt(20, 20), pt(140, 20)), paths.Polyline(pt(140, 30), pt(20, 30))}
	jobs := []struct {
		what    string
		strokes []paths.Stroke
	}{
		{"12 dots and dashes", dashes(12)},
		{"2 lines of 120 mm", long},
		{"rings of 1 mm", rings(3, 1, 17)}, {"rings of 2 mm", rings(3, 2, 17)}, {"rings of 3 mm", rings(3, 3, 17)},
		{"rings of 4 mm", rings(3, 4, 17)}, {"rings of 6 mm", rings(3, 6, 17)}, {"rings of 20 mm", rings(2, 20, 45)},
		{"rings and dashes", append(rings(2, 6, 17), dashes(6)...)},
	}
	lines := []struct {
		machine string
		baud    int
		late    time.Duration // of a byte, each way
		draw    paths.Speed
	}{
		{"practice", 115200, 0, 40}, {"practice", 115200, 0, 8}, {"practice", 38400, 500 * time.Millisecond, 40},
		{"practice", 9600, 0, 40}, {"practice", 4800, 0, 40}, {"practice", 2400, 0, 40}, {"practice", 4800, 250 * time.Millisecond, 40},
		{"practice", 2400, 250 * time.Millisecond, 40}, {"gantry-servo", 2400, 150 * time.Millisecond, 40}, {"gantry-z", 2400, 0, 25},
		{"flatbed-hpgl", 9600, 0, 300}, {"flatbed-hpgl2", 9600, 0, 300}, {"knife-cutter", 9600, 0, 300},
	}
	for i, l := range lines {
		m := machine(t, l.machine)
		m.Serial.Baud, m.Speed.Draw = l.baud, min(l.draw, m.Speed.Draw)
		for n, j := range jobs {
			if !*thorough && (i+n)%4 != 0 {
				continue
			}
			want := centred(m, j.strokes)
			job := written(t, m, want...)
			row := ""
			for _, times := range []float64{.5, 1, 1.2, 1.5, 2} {
				p := turned(m, times)
				_, err := device.Send(context.Background(), sim.NewLine(p, m.Serial).WithLatency(l.late), job, device.Options{})
				if r := sim.Compare(want, p.Cloth().Strokes(), 0.06); err == nil && !r.Same() {
					err = fmt.Errorf("on the cloth: %s", r)
				}
				what := "ok"
				if err != nil {
					t.Errorf("%s, %d baud, answers %v late, %s, feed turned to %g: %v", m.Name, l.baud, 2*l.late, j.what, times, err)
					what, _, _ = strings.Cut(err.Error(), ":")
				}
				row += fmt.Sprintf("  %g: %s", times, what)
			}
			t.Logf("%-14s %6d baud %6v %-20s%s", m.Name, l.baud, 2*l.late, j.what, row)
		}
	}
}
