package plot

import (
	"context"
	"fmt"
	"slices"

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
		told := 0 // strokes
		tell := func(done, total int) {
			now := int(float64(len(f.Ways[i])) * float64(done) / float64(total))
			meter.Add(now - told)
			told = now
		}
		w.Texts[i], err = language.WriteTold(ctx, p, f.Inputs.Machine, tell)
		tell(1, 1)
		return err
	})
	if err != nil {
		return Written{}, err
	}
	return w, nil
}

// build makes the blocks of one pen run: home, every stroke, park. The strokes are put in
// their places on all cores.
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
	b, err := f.builder(index)
	if err != nil {
		return program.Program{}, err
	}
	for _, line := range f.heading(index) {
		p.Blocks = append(p.Blocks, program.Block{Kind: program.Remark, Text: line})
	}
	p.Blocks = append(p.Blocks, program.Block{Kind: program.PenUp}, program.Block{Kind: program.Pen, Number: 1, Force: t.Pen.Force})
	starts, park := b.starts(len(p.Blocks)), b.park()
	blocks := make([]program.Block, starts[len(b.ways)], starts[len(b.ways)]+len(park))
	copy(blocks, p.Blocks)
	cores.Ranges(len(b.ways), func(lo, hi int) {
		for i := lo; i < hi && ctx.Err() == nil; i++ {
			b.stroke(i, blocks[starts[i]:starts[i]:starts[i+1]])
		}
	})
	if err := ctx.Err(); err != nil {
		return program.Program{}, err
	}
	p.Blocks = append(blocks, park...)
	return p, nil
}

// A builder makes the blocks of a pen run, those of each stroke by itself.
type builder struct {
	Fitted
	tour   Tour
	ways   []Stroke
	off    [][]float64 // how far each curve may be from what is asked already, mm; nil where that is not known
	fit    float64     // how far it may be at most, mm
	limits motion.Limits
	wipes  []bool // before which strokes the pen is wiped
	wipeAt paths.Point
	wiping []program.Block // what is done there
}

// builder returns what makes the blocks of a tour. A wipe that cannot be is an error.
func (f Fitted) builder(index int) (*builder, error) {
	b := &builder{Fitted: f, tour: f.Tours[index], ways: f.Ways[index], off: f.off[index], limits: motion.LimitsOf(f.Inputs.Machine)}
	b.fit, _ = f.shares(b.tour.Pen)
	b.wipes = wipesBefore(b.ways, b.tour.Pen)
	if slices.Contains(b.wipes, true) {
		var err error
		if b.wipeAt, b.wiping, err = wipe(f.Inputs.Machine, b.tour.Pen.Name); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// starts returns where the blocks of each stroke begin, after some that come first, and
// where those of the last end.
func (b *builder) starts(first int) []int {
	out := make([]int, len(b.ways)+1)
	cores.Ranges(len(b.ways), func(lo, hi int) {
		var room []program.Block
		for i := lo; i < hi; i++ {
			room = b.before(i, room[:0])
			n := len(room) + 2 // pen down, pen up
			for _, c := range b.ways[i].Stroke {
				if c.Length() > 0 {
					n++
				}
			}
			out[i+1] = n
		}
	})
	out[0] = first
	for i := range b.ways {
		out[i+1] += out[i]
	}
	return out
}

// stroke appends the blocks of a stroke, with what comes before it.
func (b *builder) stroke(i int, to []program.Block) {
	to = append(b.before(i, to), program.Block{Kind: program.PenDown})
	for k, c := range b.ways[i].Stroke {
		if c.Length() > 0 {
			draw := program.Block{Kind: program.Draw, Curve: c, Feed: b.tour.Feed, Spare: b.spare(i, k)}
			to = append(to, motion.LimitFeed(draw, b.limits))
		}
	}
	_ = append(to, program.Block{Kind: program.PenUp})
}

// before appends what comes between a stroke and the one before: a wipe, remarks, and the
// way there.
func (b *builder) before(i int, to []program.Block) []program.Block {
	here, layer, drawn := paths.Point{}, "", 0 // the machine's own 0,0
	if i > 0 {
		here, layer = b.ways[i-1].End(), b.ways[i-1].Layer
	}
	if b.wipes[i] {
		to = append(travel(to, here, b.wipeAt), b.wiping...)
		here = b.wipeAt
	}
	if b.tour.Copies != nil {
		if i > 0 {
			drawn = b.tour.Copies[i-1]
		}
		if next := b.tour.Copies[i]; next != drawn {
			to = append(to, program.Block{Kind: program.Remark, Text: b.part.remark(next)})
		}
	}
	if next := b.ways[i].Layer; next != layer {
		to = append(to, program.Block{Kind: program.Remark, Text: "layer " + label.Clean(next, label.Remark)})
	}
	return travel(to, here, b.ways[i].Start())
}

// park returns the way from the end of the last stroke to where the machine parks.
func (b *builder) park() []program.Block {
	var here paths.Point
	if n := len(b.ways); n > 0 {
		here = b.ways[n-1].End()
	}
	return travel(nil, here, b.Inputs.Machine.ParkAt())
}

// travel appends the way from one point to another, if they are two.
func travel(to []program.Block, from, at paths.Point) []program.Block {
	if at == from {
		return to
	}
	return append(to, program.Block{Kind: program.Travel, Curve: paths.Line{A: from, B: at}})
}

// spare returns what a curve leaves of the share for fitting, in mm: its writing may use
// it.
func (b *builder) spare(stroke, curve int) float64 {
	if b.off == nil {
		return 0
	}
	return max(0, b.fit-b.off[stroke][curve])
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
