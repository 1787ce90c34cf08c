package language

import (
	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/plot/program"
)

// Remainder returns what is left of p once its first n strokes are drawn: the
// pen and the remark in force, and all after the stroke before. With n 0 it is
// p; with all strokes drawn, or more than there are, nothing is left but the
// pen and the remark. The cost is linear.
func Remainder(p program.Program, n int) program.Program {
	if n == 0 {
		return p
	}
	down, strokes := false, 0
	for i, b := range p.Blocks {
		was := down
		down = b.Kind.Down(was)
		if down && !was {
			strokes++
		}
		if strokes == n && was && !down {
			return from(p, i, program.Block{Kind: program.PenUp})
		}
	}
	return from(p, len(p.Blocks))
}

// from returns the program of the head and the blocks from i on, with the pen
// and the remark that are in force there before them.
func from(p program.Program, i int, head ...program.Block) program.Program {
	out := p
	out.Blocks = nil
	var pen, remark *program.Block
	for k := range p.Blocks[:i] {
		switch b := &p.Blocks[k]; b.Kind {
		case program.Pen:
			pen = b
		case program.Remark:
			remark = b
		}
	}
	for _, b := range []*program.Block{pen, remark} {
		if b != nil {
			out.Blocks = append(out.Blocks, *b)
		}
	}
	out.Blocks = append(append(out.Blocks, head...), p.Blocks[i:]...)
	return out
}

// Reenter returns what is left of p when the pen stands, lifted, at a point of
// its way somewhere between the blocks first and last, counted from 0: the pen
// goes there, is lowered if it was drawing, and goes on. It returns also how many
// strokes were begun before, and false if no block between passes within the
// given distance, mm, of the point. Where several do, the first counts.
func Reenter(p program.Program, first, last int, at paths.Point, within float64) (program.Program, int, bool) {
	for i := max(0, first); i < min(last+1, len(p.Blocks)); i++ {
		b := p.Blocks[i]
		if b.Kind != program.Draw && b.Kind != program.Travel {
			continue
		}
		t, d := near.On(b.Curve, at)
		if d > within {
			continue
		}
		t = atEnd(t)
		arrive := program.Block{Kind: program.Travel, Curve: paths.Line{B: at}}
		if b.Kind == program.Travel {
			return from(p, i, arrive), begun(p, i), true
		}
		if t > 0 {
			b.Curve = paths.Sub(b.Curve, t, 1)
		}
		arrive.Curve = paths.Line{B: b.Curve.Start()}
		head := []program.Block{arrive, {Kind: program.PenDown}, b}
		if t == 1 { // the block is done; the stroke may go on
			head = head[:2]
		}
		return from(p, i+1, head...), max(0, begun(p, i+1)-1), true
	}
	return program.Program{}, 0, false
}

// atEnd takes a parameter of a curve that is at one of its ends, but for rounding,
// to that end, so that no curve without length is left.
func atEnd(t float64) float64 {
	const slack = 1e-9
	switch {
	case t < slack:
		return 0
	case t > 1-slack:
		return 1
	}
	return t
}

// begun counts the strokes that begin before block i.
func begun(p program.Program, i int) int {
	return program.Total(program.Program{Blocks: p.Blocks[:i]}).Strokes
}
