package plot

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Written is a drawing with the text of its programs, not yet judged.
type Written struct {
	Fitted
	// Texts holds the program of each tour, in the machine's language.
	Texts [][]byte
}

// Write makes the program of each tour and writes it in the machine's language.
// Feeds are limited to what the machine can do. A program that its language cannot
// say is an error. It tells opt.Progress how far it is.
func Write(ctx context.Context, f Fitted, opt Options) (Written, error) {
	w, total := Written{Fitted: f, Texts: make([][]byte, len(f.Tours))}, 0
	for _, ways := range f.Ways {
		total += 2 * len(ways) // to make and to write
	}
	meter := opt.meter(Writing, total)
	err := cores.Each(ctx, len(f.Tours), func(i int) error {
		p, err := f.build(ctx, i)
		if err != nil {
			return err
		}
		meter.Add(len(f.Ways[i]))
		w.Texts[i], err = language.Write(ctx, p, f.Inputs.Machine)
		meter.Add(len(f.Ways[i]))
		return err
	})
	if err != nil {
		return Written{}, err
	}
	return w, nil
}

// build makes the blocks of one pen run: home, every stroke, park.
func (f Fitted) build(ctx context.Context, index int) (program.Program, error) {
	t, m := f.Tours[index], f.Inputs.Machine
	_, within := f.shares(t.Pen)
	p := program.Program{Language: string(m.Language), Machine: m.Name, Tolerance: within}
	steps := strokeSteps * len(f.Ways[index])
	for _, s := range f.Ways[index] {
		steps += len(s.Stroke) - 1
	}
	if err := f.tooLong(t.Pen, steps); err != nil {
		return p, err
	}
	p.Blocks = make([]program.Block, 0, steps+steps/64+16) // and a few remarks
	for _, line := range f.heading(index) {
		p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: line})
	}
	p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp}, program.Block{Kind: program.Pen, Number: 1, Force: t.Pen.Force})
	limits := motion.LimitsOf(m)
	var here paths.Point // the machine's own 0,0
	travel := func(to paths.Point) {
		if to != here {
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: here, B: to}})
			here = to
		}
	}
	layer, drawn := "", 0
	wipes := wipesBefore(f.Ways[index], t.Pen)
	for i, s := range f.Ways[index] {
		if err := ctx.Err(); err != nil {
			return program.Program{}, err
		}
		if wipes[i] {
			at, blocks, err := wipe(m, t.Pen.Name)
			if err != nil {
				return program.Program{}, err
			}
			travel(at)
			p.Blocks = append(p.Blocks, blocks...)
		}
		if t.Copies != nil && t.Copies[i] != drawn {
			drawn = t.Copies[i]
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: f.part.remark(drawn)})
		}
		if s.Layer != layer {
			layer = s.Layer
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: "layer " + label.Clean(layer, label.Remark)})
		}
		travel(s.Start())
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenDown})
		for k, c := range s.Stroke {
			if c.Length() > 0 {
				draw := program.Block{Kind: program.Draw, Curve: c, Feed: t.Feed, Spare: f.spare(index, i, k)}
				p.Blocks = append(p.Blocks, motion.LimitFeed(draw, limits))
			}
		}
		here = s.End()
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp})
	}
	travel(m.ParkAt())
	return p, nil
}

// strokeSteps is how many steps a stroke of one curve takes: the way there, pen down, the
// curve, pen up.
const strokeSteps = 4

// tooLong is the fault of a program of more steps than a program may have; nil where it
// has no more.
func (l Laid) tooLong(pen profiles.Pen, steps int) error {
	const others = 16 << 10 // remarks and wipes
	if steps <= program.MostBlocks-others {
		return nil
	}
	return fault.TooBig(l.Inputs.Design.Name, "simplify the design, leave layers out with [skip], or share them out among several pens with [pen-for], each of which gets a program of its own",
		"the program of the pen %s would have %d steps, and the most that is written is %d", pen.Name, steps, program.MostBlocks-others)
}

// spare returns what a curve leaves of the share for fitting, in mm: its writing may use
// it.
func (f Fitted) spare(tour, stroke, curve int) float64 {
	if f.off[tour] == nil {
		return 0
	}
	fit, _ := f.shares(f.Tours[tour].Pen)
	return max(0, fit-f.off[tour][stroke][curve])
}

// SideRemark opens the remark that says which side of the rug a program draws.
const SideRemark = "drawn: "

// heading are the remarks a program begins with.
func (f Fitted) heading(index int) []string {
	size := f.Rug
	if f.part != nil {
		size = f.part.rug
	}
	lines := []string{
		"design " + label.Clean(f.Settings.Name, label.Remark),
		SideRemark + job.DrawnSide(f.Settings.Craft, f.Settings.Transfer).Title,
		fmt.Sprintf("finished size %.1f x %.1f mm", size.Width(), size.Height()),
		"with the pen " + label.Clean(f.Tours[index].Pen.Name, label.Remark),
	}
	if n := len(f.Tours); n > 1 {
		lines = append(lines, fmt.Sprintf("run %d of %d", index+1, n))
	}
	if p := f.part; p != nil {
		lines = append(lines, fmt.Sprintf("load %d of %d", p.number, p.of))
	}
	return lines
}

// FileName is the name of the program of a tour, by its index from 0, in the job
// folder.
func (f Fitted) FileName(index int) string {
	ext, dir := f.Inputs.Machine.Language.Extension(), ""
	if f.part != nil && f.part.of > 1 {
		dir = fmt.Sprintf("load-%d/", f.part.number)
	}
	if index == 0 {
		return dir + "plot." + ext
	}
	return fmt.Sprintf("%splot-%d.%s", dir, index+1, ext)
}

// wipesBefore tells before which strokes a pen is wiped: before each that would
// take it past the length its profile says, counted from the wipe before. A
// stroke is never broken off for it, so one longer than that is drawn whole.
func wipesBefore(strokes []Stroke, pen profiles.Pen) []bool {
	out := make([]bool, len(strokes))
	every := float64(pen.WipeEvery)
	if every <= 0 {
		return out
	}
	drawn := 0.0
	for i, s := range strokes {
		length := s.Length()
		if drawn > 0 && drawn+length > every {
			out[i], drawn = true, 0
		}
		drawn += length
	}
	return out
}

// Wipes returns how often the pen is wiped during the run.
func (r PenRun) Wipes() int {
	n := 0
	for _, w := range wipesBefore(r.Ways, r.Pen) {
		if w {
			n++
		}
	}
	return n
}

// wipe returns where the pen goes to be wiped, and the pause for the person where
// the machine has no place for it: parked, out of the way of the cloth. A machine
// that cannot stop for a person either is a [fault.Error].
func wipe(m profiles.Machine, pen string) (paths.Point, []program.Block, error) {
	if at, ok := m.Wipe(); ok {
		return at, nil, nil
	}
	if m.Language != profiles.GCode && !m.HPGL.NotReady {
		return paths.Point{}, nil, fault.Bad("", "in the machine's profile, give a place to wipe at, wipe_at, or say hpgl.not_ready = true if its manual has the instruction NR; or use a pen without wipe_every",
			"%s is wiped between strokes, and the machine %q is not known to stop for a person", pen, m.Name)
	}
	return m.ParkAt(), []program.Block{{Kind: program.Pause, Text: "wipe the tip of " + pen}}, nil
}
