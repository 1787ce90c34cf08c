package device

import (
	"context"
	"fmt"

	"weftplot/device/flow"
	"weftplot/device/line"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Pilot steers the pen of a machine by hand, lifted, to find marks.
type Pilot struct {
	m        profiles.Machine
	language language.Language
	w        *line.Wire
	flow     flow.Control
	at       paths.Point
	told     bool // the machine says where it is
	// counts tells that it was found once where it was sent. Not every machine
	// counts from where its programs do, so one that never did is not judged.
	counts bool
}

// NewPilot greets the machine and lifts its pen. The machine is taken to stand
// where it says it does, or at its own 0,0 if it does not say. The context ends
// any wait of the pilot's.
func NewPilot(ctx context.Context, port line.Port, m profiles.Machine) (*Pilot, error) {
	l, err := language.Of(m.Language)
	if err != nil {
		return nil, err
	}
	p := &Pilot{m: m, language: l, w: line.NewWire(port, m.Serial.Baud)}
	p.w.Stop = ctx.Err
	if p.flow, err = newControl(p.w, Job{Machine: m}, timeline.New(program.Program{}, motion.LimitsOf(m))); err != nil {
		return nil, err
	}
	if err := p.flow.Greet(); err != nil {
		return nil, err
	}
	if at, ok := p.flow.Where(); ok {
		p.at, p.told = at, true
	}
	return p, p.do(p.language.Ready(m), nil)
}

// At returns where the pen is, mm.
func (p *Pilot) At() paths.Point { return p.at }

// Told reports whether the machine itself said at the start where it is.
func (p *Pilot) Told() bool { return p.told }

// MoveTo takes the pen, lifted, to a place and returns when it is there: at the
// nearest that the machine's language can name. A place out of reach is a
// [fault.Error] of kind NoFit, and nothing moves.
func (p *Pilot) MoveTo(to paths.Point) error {
	if !p.m.Reach().Contains(to) || !to.IsFinite() {
		return fault.TooBig("", "stay inside the machine's area", "the pen does not reach %.1f, %.1f", to.X, to.Y)
	}
	text, to := p.language.MoveTo(p.m, to)
	way := []program.Block{{Kind: program.Travel, Curve: paths.Line{A: p.at, B: to}}}
	if err := p.do(text, way); err != nil {
		e := asError(err)
		e.State = pilotState
		if e.Kind == Lost {
			e.Do = "look at plug and power; bring the machine home before it is steered again"
		}
		return e
	}
	p.at = to
	return p.there()
}

// there returns an error when the machine, sent somewhere, says that it stands
// elsewhere: a mark taken there would be wrong.
func (p *Pilot) there() error {
	at, known := p.flow.Where()
	if !known {
		return nil
	}
	off := at.Dist(p.at)
	if off <= strayed {
		p.counts = true
	}
	if off <= strayed || !p.counts {
		return nil
	}
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("the machine stands at %.2f, %.2f and not at %.2f, %.2f, where it was sent: it lost lines, or has restarted",
		at.X, at.Y, p.at.X, p.at.Y), State: pilotState, Do: "look at cable and power; bring it home and find the marks anew"}
}

// pilotState is how a machine is left that was only ever steered pen up.
const pilotState = "the pen is up"

// do sends text, which makes the machine carry out the blocks of way, and waits
// until it has.
func (p *Pilot) do(text []byte, way []program.Block) error {
	if len(way) == 0 {
		way = []program.Block{{Kind: program.Travel, Curve: paths.Line{A: p.at, B: p.at}}}
	}
	way[0].Line, way[0].End = 1, len(text)
	job := Job{Program: program.Program{Language: string(p.m.Language), Blocks: way}, Text: text, Machine: p.m}
	chunks, err := language.Cut(job.Program, job.Text, job.Machine)
	if err != nil {
		return err
	}
	p.flow = p.flow.Onward(job, timeline.New(job.Program, motion.LimitsOf(p.m)))
	for _, c := range chunks {
		if err := p.flow.Send(c); err != nil {
			return err
		}
	}
	return p.flow.Settle()
}
