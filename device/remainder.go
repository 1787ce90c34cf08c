package device

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// remainder returns what is left of p once its first n strokes are drawn: the
// pen and the remark in force, and all after the stroke before.
func remainder(p program.Program, n int) program.Program {
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
	if n == 0 {
		return p
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

// strayed is how far from its way the pen may be found to be on it still, mm.
const strayed = 0.1

// reentry returns what is left of p when the pen stands at a point of it,
// lifted, somewhere between the blocks first and last: it goes there, lowers the
// pen if it was drawing, and goes on. It returns also how many strokes were
// begun before, and false if the point is not on the way.
func reentry(p program.Program, first, last int, at paths.Point) (program.Program, int, bool) {
	for i := max(0, first); i < min(last+1, len(p.Blocks)); i++ {
		b := p.Blocks[i]
		if b.Kind != program.Draw && b.Kind != program.Travel {
			continue
		}
		t, d := nearest(b.Curve, at)
		if d > strayed {
			continue
		}
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

// begun counts the strokes that begin before block i.
func begun(p program.Program, i int) int {
	return program.Total(program.Program{Blocks: p.Blocks[:i]}).Strokes
}

// nearest returns the parameter of the point of c nearest to p, and how far that
// is.
func nearest(c paths.Curve, p paths.Point) (t, d float64) {
	const steps = 64
	d = math.Inf(1)
	for k := 0; k <= steps; k++ {
		u := float64(k) / steps
		if e := c.At(u).Dist(p); e < d {
			t, d = u, e
		}
	}
	lo, hi := max(0, t-1.0/steps), min(1, t+1.0/steps)
	for range 60 { // golden section would do with fewer; this is exact enough
		a, b := lo+(hi-lo)/3, hi-(hi-lo)/3
		if c.At(a).Dist(p) < c.At(b).Dist(p) {
			hi = b
		} else {
			lo = a
		}
	}
	if u := (lo + hi) / 2; c.At(u).Dist(p) <= d {
		t, d = u, c.At(u).Dist(p)
	}
	if t < 1e-9 {
		t = 0
	}
	if t > 1-1e-9 {
		t = 1
	}
	return t, d
}
