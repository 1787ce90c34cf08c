package device

import (
	"context"
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Pilot steers the pen of a machine by hand, lifted, to find marks.
type Pilot struct {
	m    profiles.Machine
	w    *wire
	flow flow
	at   paths.Point
}

// NewPilot greets the machine and lifts its pen. The machine is taken to stand
// where it says it does, or at its own 0,0 if it does not say. The context ends
// any wait of the pilot's.
func NewPilot(ctx context.Context, port Port, m profiles.Machine) (*Pilot, error) {
	p := &Pilot{m: m, w: newWire(port, m.Serial.Baud)}
	p.w.stop = ctx.Err
	var err error
	if p.flow, err = newFlow(p.w, Job{Machine: m}, newCourse(program.Program{}, motion.LimitsOf(m))); err != nil {
		return nil, err
	}
	if err := p.flow.greet(); err != nil {
		return nil, err
	}
	if at, ok := p.flow.where(); ok {
		p.at = at
	}
	up := "IN;PU;"
	if m.Language == profiles.GCode {
		up = strings.Join(append([]string{"G21", "G90"}, m.Lift.Up...), "\n") + "\n"
	}
	return p, p.do(up, nil)
}

// At returns where the pen is, mm.
func (p *Pilot) At() paths.Point { return p.at }

// Reach returns where the pen can be sent.
func (p *Pilot) Reach() paths.Rect { return p.m.Reach() }

// MoveTo takes the pen, lifted, to a place and returns when it is there. A place
// out of reach is a [paths.Fault] of kind NoFit, and nothing moves.
func (p *Pilot) MoveTo(to paths.Point) error {
	if !p.m.Reach().Contains(to) || !to.IsFinite() {
		return paths.TooBig("", "stay inside the machine's area", "the pen does not reach %.1f, %.1f", to.X, to.Y)
	}
	text := ""
	if p.m.Language == profiles.GCode {
		k := p.m.Calib.Scale
		text = fmt.Sprintf("G0 X%.3f Y%.3f\n", to.X/k[0], to.Y/k[1])
	} else {
		u := p.m.Units().Apply(to)
		text = fmt.Sprintf("PU%d,%d;", int(math.Round(u.X)), int(math.Round(u.Y)))
	}
	way := []program.Block{{Kind: program.Travel, Curve: paths.Line{A: p.at, B: to}}}
	if err := p.do(text, way); err != nil {
		return err
	}
	p.at = to
	return nil
}

// do sends text, which makes the machine go a way, and waits until it has.
func (p *Pilot) do(text string, way []program.Block) error {
	if len(way) == 0 {
		way = []program.Block{{Kind: program.Travel, Curve: paths.Line{A: p.at, B: p.at}}}
	}
	way[0].Line, way[0].End = 1, len(text)
	job := Job{Program: program.Program{Language: string(p.m.Language), Blocks: way}, Text: []byte(text), Machine: p.m}
	pieces, err := cut(job)
	if err != nil {
		return err
	}
	p.flow = p.flow.onward(job, newCourse(job.Program, motion.LimitsOf(p.m)))
	for _, piece := range pieces {
		if err := p.flow.send(piece); err != nil {
			return err
		}
	}
	return p.flow.settle()
}
