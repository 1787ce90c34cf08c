package device

import (
	"bytes"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// rehearsal returns the job with the pen held up throughout: the same ways, at
// the same speeds where the language allows. Pauses and pen changes are left
// out.
//
// A G-code program keeps its own text, less the lines that lower the pen and
// those that stop for the person. That is believed only when what is left, read
// again, lowers the pen nowhere; any other program is written anew with travels
// in place of what it draws.
func rehearsal(job Job) (Job, error) {
	if job.Machine.Language == profiles.GCode {
		if up, ok := withoutPen(job); ok {
			return up, nil
		}
	}
	var blocks []program.Block
	for _, b := range job.Program.Blocks {
		switch b.Kind {
		case program.Travel:
			blocks = append(blocks, b)
		case program.Draw:
			pts := paths.Stroke{b.Curve}.Flatten(chordError)
			for i, p := range pts[1:] {
				blocks = append(blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: pts[i], B: p}, Feed: b.Feed})
			}
		case program.Remark:
			blocks = append(blocks, b)
		}
	}
	return rewritten(job.Machine, program.Program{Machine: job.Program.Machine, Blocks: blocks})
}

// chordError is how far the pen may be from a curve while it is held up, mm.
const chordError = 0.2

// withoutPen takes the lines that lower the pen, and those that pause, out of a
// G-code program. It reports whether the rest keeps the pen up.
func withoutPen(job Job) (Job, bool) {
	first := map[int]program.Kind{}
	for _, b := range job.Program.Blocks {
		if b.Kind == program.PenDown || b.Kind == program.Pause {
			first[b.Line] = b.Kind
		}
	}
	ends := map[int]int{}
	for _, b := range job.Program.Blocks {
		if b.Kind == program.PenDown {
			ends[b.Line] = b.End
		}
	}
	var text bytes.Buffer
	skipTo := 0
	for _, p := range allLines(job.Text) {
		kind, found := first[p.line]
		if found && kind == program.PenDown {
			skipTo = ends[p.line]
		}
		if found || p.end <= skipTo {
			continue
		}
		text.Write(job.Text[p.start:p.end])
	}
	up, err := read(job.Machine, text.Bytes())
	if err != nil {
		return Job{}, false
	}
	way := 0.0
	for _, b := range up.Program.Blocks {
		switch b.Kind {
		case program.PenDown, program.Draw:
			return Job{}, false
		case program.Travel:
			way += b.Curve.Length()
		}
	}
	all := program.Total(job.Program)
	const slack = 0.01 // what of the way may go with the lines that lower the pen
	return up, way >= (all.DrawMM+all.TravelMM)*(1-slack)-1
}

// edge returns a job that takes the pen, held up, once round all that the job
// draws, and parks it.
func edge(job Job) (Job, error) {
	box := program.Total(job.Program).Bounds
	if box.IsEmpty() {
		return Job{}, fault.Bad("", "", "the program draws nothing, so it has no edge")
	}
	corners := []paths.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}, box.Min, job.Machine.ParkAt()}
	var blocks []program.Block
	var at paths.Point
	for _, p := range corners {
		blocks = append(blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: p}})
		at = p
	}
	return rewritten(job.Machine, program.Program{Machine: job.Program.Machine, Blocks: blocks})
}

// rewritten returns the job of a program that has no text yet.
func rewritten(m profiles.Machine, p program.Program) (Job, error) {
	write := hpgl.Write
	if m.Language == profiles.GCode {
		write = gcode.Write
	}
	p.Language = string(m.Language)
	text, err := write(p, m)
	if err != nil {
		return Job{}, err
	}
	return read(m, text)
}

// read returns the job of a program's text.
func read(m profiles.Machine, text []byte) (Job, error) {
	read := hpgl.Read
	if m.Language == profiles.GCode {
		read = gcode.Read
	}
	p, err := read("the program", text, &m)
	return Job{Program: p, Text: text, Machine: m}, err
}
