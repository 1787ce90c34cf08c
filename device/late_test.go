package device_test

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/profiles"
)

var lateRuns = flag.Int("lateruns", 1, "random jobs for each flow control and lateness")

// lateJob returns a few strokes of any kind: dots, dashes, rings, long lines, and rows
// of short segments.
func lateJob(rng *rand.Rand) []paths.Stroke {
	var out []paths.Stroke
	for i := range 1 + rng.IntN(6) {
		at := pt(25+float64(i%3)*45, 25+float64(i/3)*45)
		switch rng.IntN(5) {
		case 0:
			out = append(out, paths.Polyline(at))
		case 1:
			out = append(out, paths.Polyline(at, at.Add(paths.Point{X: 1 + 20*rng.Float64(), Y: 10 * rng.Float64()})))
		case 2:
			out = append(out, paths.Stroke{paths.Circle(at, 1+15*rng.Float64())})
		case 3:
			out = append(out, paths.Polyline(at, at.Add(paths.Point{X: 100})))
		default:
			var pts []paths.Point
			step, wave := .1+.5*rng.Float64(), 1+9*rng.Float64()
			for k := range 20 + rng.IntN(180) {
				pts = append(pts, pt(at.X+float64(k)*step, at.Y+wave*math.Sin(float64(k)/5)))
			}
			out = append(out, paths.Polyline(pts...))
		}
	}
	return out
}

// lagging is a line whose answers are held back: now and then, for up to so long. They
// come in the order in which they were sent.
type lagging struct {
	*sim.Line
	rng  *rand.Rand
	most time.Duration
	held []byte
	from time.Duration // when what is held is let go
}

func (l *lagging) Read(p []byte, wait time.Duration) (int, error) {
	until := l.Now() + wait
	for {
		if len(l.held) > 0 && l.Now() >= l.from {
			n := copy(p, l.held)
			l.held = l.held[n:]
			return n, nil
		}
		to := until
		if len(l.held) > 0 {
			to = min(to, l.from)
		}
		var buf [64]byte
		n, err := l.Line.Read(buf[:], to-l.Now())
		if n > 0 && len(l.held) == 0 && l.rng.IntN(4) == 0 {
			l.from = l.Now() + time.Duration(l.rng.Float64()*float64(l.most))
		}
		if l.held = append(l.held, buf[:n]...); err != nil || n == 0 && l.Now() >= until {
			return 0, err
		}
	}
}

// lateFlows are plotters, each with a way of saying that it has room.
var lateFlows = []struct {
	machine string
	flow    profiles.Flow
}{
	{"flatbed-hpgl", profiles.XonXoff}, {"flatbed-hpgl", profiles.SpaceQuery}, {"flatbed-hpgl", profiles.NoFlow}, {"flatbed-hpgl", profiles.EnqAck},
	{"flatbed-hpgl2", profiles.SpaceQuery}, {"flatbed-hpgl2", profiles.XonXoff}, {"knife-cutter", profiles.EnqAck},
}

// lateLines are the ways in which a line is late: both ways alike, all the time, as
// one that leads over a network, or now and then on the way back.
var lateLines = []struct {
	what string
	line func(l *sim.Line, late time.Duration, rng *rand.Rand) line.Port
}{
	{"steadily", func(l *sim.Line, late time.Duration, _ *rand.Rand) line.Port { return l.WithLatency(late / 2) }},
	{"now and then", func(l *sim.Line, late time.Duration, rng *rand.Rand) line.Port {
		return &lagging{Line: l, rng: rng, most: late}
	}},
}

// However late answers come, up to a second and a half, and however a person turned
// the feed, a plotter that draws what it should is not stopped, and its buffer not
// overrun.
func TestLateLine(t *testing.T) {
	t.Parallel()
	for _, f := range lateFlows {
		m := machine(t, f.machine)
		m.Serial.Flow = f.flow
		for _, way := range lateLines {
			row := ""
			for _, late := range []time.Duration{0, 150, 300, 500, 700, 1000, 1250, 1500} {
				late *= time.Millisecond
				stopped, slow := 0, 0.0
				for seed := range *lateRuns {
					rng := rand.New(rand.NewPCG(uint64(seed), uint64(late)))
					want := centred(m, lateJob(rng))
					job := written(t, m, want...)
					times := math.Exp2(2*rng.Float64() - 1)
					p := turned(m, times)
					out, err := device.Send(context.Background(), way.line(sim.NewLine(p, m.Serial), late, rng), job, device.Options{})
					c := p.Cloth()
					if r := sim.Compare(want, c.Strokes(), 0.06); err == nil && (!r.Same() || c.Overruns > 0) {
						err = fmt.Errorf("on the cloth: %s, %d bytes overrun", r, c.Overruns)
					}
					if err != nil {
						stopped++
						t.Errorf("%s, %s, %v late %s, feed turned to %.2f, seed %d: %v", m.Name, f.flow, late, way.what, times, seed, err)
					}
					slow = max(slow, out.Seconds-out.Predicted/times)
				}
				row += fmt.Sprintf("  %v: %d, %.0f s", late, stopped, slow)
			}
			t.Logf("%-14s %-12s%-13s false stops of %d, and what is lost at most:%s", m.Name, f.flow, way.what, *lateRuns, row)
		}
	}
}

// A true fault is told on a late line as on any other: a plotter that falls silent, and
// bytes that are lost on their way to it, where that shows on the cloth.
func TestFaultsOnALateLine(t *testing.T) {
	t.Parallel()
	for _, f := range lateFlows {
		m := machine(t, f.machine)
		m.Serial.Flow = f.flow
		told, runs := 0, 0
		for _, kind := range []sim.FaultKind{sim.Silence, sim.DropDown, sim.DoubleDown} {
			for seed := range 2 * *lateRuns {
				rng := rand.New(rand.NewPCG(uint64(seed), uint64(kind)))
				want := centred(m, append(lateJob(rng), lateJob(rng)...))
				job := written(t, m, want...)
				p := turned(m, math.Exp2(2*rng.Float64()-1))
				late := time.Duration(rng.Float64() * 1.5 * float64(time.Second))
				fault := sim.Fault{At: 10 + 5*rng.Float64(), Kind: kind, For: 1e6} // most is sent later
				out, err := device.Send(context.Background(), sim.NewLine(p, m.Serial).WithLatency(late/2).WithFaults(fault), job, device.Options{})
				same := sim.Compare(want, p.Cloth().Strokes(), 0.06).Same()
				runs++
				switch {
				case err != nil:
					told++
				case kind == sim.Silence && out.Seconds > 20, !same:
					t.Errorf("%s, %s, %v late, %v, seed %d: no error, all drawn %v after %.0f s", m.Name, f.flow, late, kind, seed, same, out.Seconds)
				}
				if c := p.Cloth(); c.Overruns > 0 && kind != sim.DoubleDown { // an enquiry that comes twice is granted twice
					t.Errorf("%s, %s, %v late, %v, seed %d: %d bytes overrun", m.Name, f.flow, late, kind, seed, c.Overruns)
				}
				if err != nil && out.Seconds > 3*out.Predicted+60 {
					t.Errorf("%s, %s, %v late, %v, seed %d: it took %.0f s of %.0f to tell: %v", m.Name, f.flow, late, kind, seed, out.Seconds, out.Predicted, err)
				}
			}
		}
		if told == 0 {
			t.Errorf("%s, %s: none of %d faults was told", m.Name, f.flow, runs)
		}
		t.Logf("%-14s %-12s %d of %d faults told", m.Name, f.flow, told, runs)
	}
}
