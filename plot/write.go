package plot

import (
	"context"
	"fmt"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// Written is a drawing with the text of its programs, not yet judged.
type Written struct {
	Fitted
	// Texts holds the program of each tour, in the machine's language.
	Texts [][]byte
}

// Write makes the program of each tour and writes it in the machine's language.
// Feeds are limited to what the machine can do. A program that its language cannot
// say is an error.
func Write(ctx context.Context, f Fitted) (Written, error) {
	w := Written{Fitted: f}
	for i := range f.Tours {
		if err := ctx.Err(); err != nil {
			return Written{}, err
		}
		p, err := f.build(ctx, i)
		if err != nil {
			return Written{}, err
		}
		text, err := language.Write(ctx, p, f.Inputs.Machine)
		if err != nil {
			return Written{}, err
		}
		w.Texts = append(w.Texts, text)
	}
	return w, nil
}

// build makes the blocks of one pen run: home, every stroke, park.
func (f Fitted) build(ctx context.Context, index int) (program.Program, error) {
	t, m := f.Tours[index], f.Inputs.Machine
	_, within := f.shares(t.Pen)
	p := program.Program{Language: string(m.Language), Machine: m.Name, Tolerance: within}
	for _, line := range f.heading(index) {
		p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: line})
	}
	p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp}, program.Block{Kind: program.Pen, Number: 1, Force: t.Pen.Force})
	var here paths.Point // the machine's own 0,0
	travel := func(to paths.Point) {
		if to != here {
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: here, B: to}})
			here = to
		}
	}
	layer := ""
	wipes := wipesBefore(f.Ways[index], t.Pen)
	for i, s := range f.Ways[index] {
		if err := ctx.Err(); err != nil {
			return program.Program{}, err
		}
		if wipes[i] {
			at, blocks := wipe(m, t.Pen.Name)
			travel(at)
			p.Blocks = append(p.Blocks, blocks...)
		}
		if s.Layer != layer {
			layer = s.Layer
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: "layer " + label.Clean(layer, label.Remark)})
		}
		travel(s.Start())
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenDown})
		for _, c := range s.Stroke {
			if c.Length() > 0 {
				p.Blocks = append(p.Blocks, program.Block{Kind: program.Draw, Curve: c, Feed: t.Feed})
			}
		}
		here = s.End()
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp})
	}
	travel(m.ParkAt())
	p.Blocks = motion.LimitFeeds(p.Blocks, motion.LimitsOf(m))
	return p, nil
}

// SideRemark opens the remark that says which side of the rug a program draws.
const SideRemark = "drawn: "

// heading are the remarks a program begins with.
func (f Fitted) heading(index int) []string {
	lines := []string{
		"design " + label.Clean(f.Settings.Name, label.Remark),
		SideRemark + job.DrawnSide(f.Settings.Craft, f.Settings.Transfer).Title,
		fmt.Sprintf("finished size %.1f x %.1f mm", f.Rug.Width(), f.Rug.Height()),
		"with the pen " + label.Clean(f.Tours[index].Pen.Name, label.Remark),
	}
	if n := len(f.Tours); n > 1 {
		lines = append(lines, fmt.Sprintf("run %d of %d", index+1, n))
	}
	return lines
}

// FileName is the name of the program of a tour, by its index from 0, in the job
// folder.
func (f Fitted) FileName(index int) string {
	ext := f.Inputs.Machine.Language.Extension()
	if index == 0 {
		return "plot." + ext
	}
	return fmt.Sprintf("plot-%d.%s", index+1, ext)
}
