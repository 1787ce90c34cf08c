package device_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot/gcode"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// machine returns a built-in machine.
func machine(t testing.TB, name string) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// writer builds a program and its text side by side, as plainly as can be.
type writer struct {
	m    profiles.Machine
	text strings.Builder
	p    program.Program
	line int
	at   paths.Point
}

func (w *writer) say(format string, args ...any) {
	fmt.Fprintf(&w.text, format, args...)
	w.text.WriteByte('\n')
	w.line++
}

func (w *writer) block(b program.Block) {
	b.Line, b.End = w.line, w.text.Len()
	w.p.Blocks = append(w.p.Blocks, b)
}

func (w *writer) pen(lines []string, k program.Kind) {
	for _, l := range lines {
		w.say("%s", l)
	}
	w.block(program.Block{Kind: k})
}

// gcodeJob returns the job that draws the strokes in order.
func gcodeJob(m profiles.Machine, strokes ...paths.Stroke) device.Job {
	w := &writer{m: m, p: program.Program{Language: "gcode", Machine: m.Name}}
	feed := float64(m.Speed.Draw)
	w.say("G21 G90 G17 F%g", feed*60)
	w.pen(m.Lift.Up, program.PenUp)
	for i, s := range strokes {
		w.say("(layer %d)", i/10+1)
		w.block(program.Block{Kind: program.Remark, Text: fmt.Sprintf("layer %d", i/10+1)})
		w.travel(s.Start())
		w.pen(m.Lift.Down, program.PenDown)
		for k, c := range s {
			word := ""
			if k == 0 {
				word = fmt.Sprintf(" F%g", feed*60)
			}
			w.draw(c, feed, word)
		}
		w.pen(m.Lift.Up, program.PenUp)
	}
	w.travel(m.ParkAt())
	w.say("M2")
	return device.Job{Program: w.p, Text: []byte(w.text.String()), Machine: m}
}

func (w *writer) travel(to paths.Point) {
	w.say("G0 X%.3f Y%.3f", to.X, to.Y)
	w.block(program.Block{Kind: program.Travel, Curve: paths.Line{A: w.at, B: to}})
	w.at = to
}

func (w *writer) draw(c paths.Curve, feed float64, word string) {
	to := c.End()
	switch c := c.(type) {
	case paths.Arc:
		g := 3
		if c.Sweep < 0 {
			g = 2
		}
		d := c.Centre.Sub(c.From)
		w.say("G%d X%.4f Y%.4f I%.4f J%.4f%s", g, to.X, to.Y, d.X, d.Y, word)
	default:
		w.say("G1 X%.3f Y%.3f%s", to.X, to.Y, word)
	}
	w.block(program.Block{Kind: program.Draw, Curve: c, Feed: feed})
	w.at = to
}

// pt rounds to what a program writes.
func pt(x, y float64) paths.Point {
	return paths.Point{X: math.Round(x*1000) / 1000, Y: math.Round(y*1000) / 1000}
}

// sampler returns strokes of every kind: long lines, short ones, a full circle,
// a wave of short segments, a square with its corners.
func sampler() []paths.Stroke {
	var wave []paths.Point
	for i := range 200 {
		wave = append(wave, pt(50+float64(i)*0.5, 300+20*math.Sin(float64(i)/10)))
	}
	return []paths.Stroke{
		paths.Polyline(pt(10, 10), pt(210, 10)),
		paths.Polyline(pt(20, 20), pt(60, 20), pt(60, 60), pt(20, 60), pt(20, 20)),
		{paths.Circle(pt(120, 80), 30)},
		paths.Polyline(wave...),
		{paths.Line{A: pt(200, 200), B: pt(250, 200)}, paths.ArcAround(pt(250, 220), 20, -math.Pi/2, math.Pi)},
		paths.Polyline(pt(5, 5), pt(5.2, 5)),
	}
}

// hpglJob returns the job that draws the strokes in order, in plotter units and
// in straight pieces.
func hpglJob(m profiles.Machine, strokes ...paths.Stroke) device.Job {
	w := &writer{m: m, p: program.Program{Language: string(m.Language), Machine: m.Name}}
	u := float64(m.HPGL.Unit)
	unit := func(p paths.Point) (int, int) { return int(math.Round(p.X / u)), int(math.Round(p.Y / u)) }
	fmt.Fprintf(&w.text, "IN;SP1;VS%g;", float64(m.Speed.Draw)/10)
	for _, s := range strokes {
		x, y := unit(s.Start())
		fmt.Fprintf(&w.text, "PU%d,%d;", x, y)
		w.block(program.Block{Kind: program.PenUp})
		w.block(program.Block{Kind: program.Travel, Curve: paths.Line{A: w.at, B: s.Start()}})
		fmt.Fprintf(&w.text, "PD")
		w.block(program.Block{Kind: program.PenDown})
		w.at = s.Start()
		for i, p := range s.Flatten(0.01)[1:] {
			if i > 0 {
				w.text.WriteByte(',')
			}
			x, y := unit(p)
			fmt.Fprintf(&w.text, "%d,%d", x, y)
			w.block(program.Block{Kind: program.Draw, Curve: paths.Line{A: w.at, B: p}})
			w.at = p
		}
		w.text.WriteByte(';')
	}
	fmt.Fprintf(&w.text, "PU%d,%d;", 0, 0)
	w.block(program.Block{Kind: program.PenUp})
	w.block(program.Block{Kind: program.Travel, Curve: paths.Line{A: w.at}})
	fmt.Fprintf(&w.text, "SP0;")
	return device.Job{Program: w.p, Text: []byte(w.text.String()), Machine: m}
}

// written returns the job as the project's own writers and readers make it.
func written(t testing.TB, m profiles.Machine, strokes ...paths.Stroke) device.Job {
	t.Helper()
	p := program.Program{Language: string(m.Language), Machine: m.Name}
	at := paths.Point{}
	add := func(b program.Block) { p.Blocks = append(p.Blocks, b) }
	for i, s := range strokes {
		add(program.Block{Kind: program.Remark, Text: fmt.Sprintf("stroke %d", i+1)})
		add(program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: s.Start()}})
		add(program.Block{Kind: program.PenDown})
		for _, c := range s {
			if !s.IsDot() {
				add(program.Block{Kind: program.Draw, Curve: c, Feed: float64(m.Speed.Draw)})
			}
		}
		add(program.Block{Kind: program.PenUp})
		at = s.End()
	}
	add(program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: m.ParkAt()}})
	write, read := hpgl.Write, hpgl.Read
	if m.Language == profiles.GCode {
		write, read = gcode.Write, gcode.Read
	}
	text, err := write(context.Background(), p, m)
	if err != nil {
		t.Fatal(err)
	}
	back, err := read(context.Background(), "plot", text, &m)
	if err != nil {
		t.Fatal(err)
	}
	return device.Job{Program: back, Text: text, Machine: m}
}

// covers holds that what was drawn lies on the design, and the design under it.
func covers(t *testing.T, want, drawn []paths.Stroke) {
	t.Helper()
	if d := uncovered(want, drawn); d > 0.1 {
		t.Errorf("a point of the design is %.2f mm from what was drawn", d)
	}
	if d := uncovered(drawn, want); d > 0.1 {
		t.Errorf("a point drawn is %.2f mm from the design", d)
	}
}

// unharmed holds that nothing was refused or lost, and that the pen is up and did
// not rest for longer than some seconds.
func unharmed(t *testing.T, c sim.Cloth, rest float64) {
	t.Helper()
	if len(c.Errors) > 0 || c.Overruns > 0 || c.Down || c.RestMax > rest {
		t.Errorf("errors %q, %d overruns, pen down %v, rested for %.2f s", c.Errors, c.Overruns, c.Down, c.RestMax)
	}
}

var inf = math.Inf(1)

func itoa(n int) string { return fmt.Sprint(n) }

// uncovered returns the greatest distance of a point of the strokes a from all
// of b taken together, looking at points half a millimetre apart. What is more
// than a few millimetres away is infinitely far.
func uncovered(a, b []paths.Stroke) float64 {
	worst, _ := apart(a, b)
	return worst
}

// apart returns besides what length of a lies more than a tenth of a millimetre
// from all of b.
func apart(a, b []paths.Stroke) (worst, length float64) {
	const cell = 4.0
	key := func(p paths.Point) [2]int { return [2]int{int(math.Floor(p.X / cell)), int(math.Floor(p.Y / cell))} }
	grid := map[[2]int][]paths.Line{}
	for _, s := range b {
		pts := s.Flatten(0.01)
		for i := 1; i < len(pts); i++ {
			l := paths.Line{A: pts[i-1], B: pts[i]}
			lo, hi := key(l.Bounds().Min), key(l.Bounds().Max)
			for x := lo[0] - 1; x <= hi[0]+1; x++ {
				for y := lo[1] - 1; y <= hi[1]+1; y++ {
					grid[[2]int{x, y}] = append(grid[[2]int{x, y}], l)
				}
			}
		}
	}
	look := func(p paths.Point) float64 {
		best := inf
		for _, l := range grid[key(p)] {
			d := l.B.Sub(l.A)
			t := 0.0
			if n := d.Dot(d); n > 0 {
				t = min(1, max(0, p.Sub(l.A).Dot(d)/n))
			}
			best = min(best, p.Dist(l.At(t)))
		}
		worst = max(worst, best)
		return best
	}
	for _, s := range a {
		for _, c := range s {
			n := int(c.Length()/0.5) + 1
			for i := 0; i <= n; i++ {
				if look(c.At(float64(i)/float64(n))) > 0.1 {
					length += c.Length() / float64(n+1)
				}
			}
		}
	}
	return worst, length
}
