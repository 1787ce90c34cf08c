package plot

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/motion"
	"weftplot/plot/program"
)

// build makes the blocks of one run: home, every stroke, park.
func (j *Job) build(r Run, index int) program.Program {
	_, within := j.shares(r.Pen)
	p := program.Program{Language: string(j.Inputs.Machine.Language), Machine: j.Inputs.Machine.Name, Tolerance: within}
	for _, line := range j.heading(r, index) {
		p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: line})
	}
	p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp}, program.Block{Kind: program.Pen, Number: 1, Force: r.Pen.Force})
	var here paths.Point // the machine's own 0,0
	travel := func(to paths.Point) {
		if to != here {
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: here, B: to}})
			here = to
		}
	}
	layer := ""
	wipes := r.wipes()
	for i, s := range r.Strokes {
		if wipes[i] {
			at, blocks := wipe(j.Inputs.Machine, r.Pen.Name)
			travel(at)
			p.Blocks = append(p.Blocks, blocks...)
		}
		if s.Layer != layer {
			layer = s.Layer
			p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: "layer " + layer})
		}
		travel(s.Start())
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenDown})
		for _, c := range s.Stroke {
			if c.Length() > 0 {
				p.Blocks = append(p.Blocks, program.Block{Kind: program.Draw, Curve: c, Feed: r.Feed})
			}
		}
		here = s.End()
		p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp})
	}
	travel(j.Inputs.Machine.ParkAt())
	p.Blocks = motion.LimitFeeds(p.Blocks, motion.LimitsOf(j.Inputs.Machine))
	return p
}

// sideRemark opens the remark that says which side a program draws.
const sideRemark = "drawn: "

// heading are the remarks a program begins with.
func (j *Job) heading(r Run, index int) []string {
	w, h := j.finished()
	lines := []string{
		j.Settings.Name,
		sideRemark + DrawnSide(j.Settings.Craft, j.Settings.Transfer).Title,
		fmt.Sprintf("finished size %.1f x %.1f mm", w, h),
		"pen " + r.Pen.Name,
	}
	if len(j.Runs) > 1 {
		lines = append(lines, fmt.Sprintf("run %d of %d", index+1, len(j.Runs)))
	}
	return lines
}

// finished is the finished size in mm.
func (j *Job) finished() (w, h float64) { return j.Rug.Width(), j.Rug.Height() }

// FileName is the name of the program of run index, from 0.
func (j *Job) FileName(index int) string {
	ext := j.Inputs.Machine.Language.Extension()
	if index == 0 {
		return "plot." + ext
	}
	return fmt.Sprintf("plot-%d.%s", index+1, ext)
}
