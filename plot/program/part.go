package program

import (
	"maps"
	"slices"
)

// Pens returns the numbers of the pens that p puts into the holder, in order,
// without 0.
func (p Program) Pens() []int {
	seen := map[int]bool{}
	for _, b := range p.Blocks {
		if b.Kind == Pen && b.Number != 0 {
			seen[b.Number] = true
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// Part says which of a program's strokes are meant: those from From to To,
// numbered from 1 as [Program.Strokes] gives them, that pen number Pen draws. A
// 0 leaves its question open, so the zero Part is all of a program.
type Part struct{ From, To, Pen int }

// Pick returns what p does to draw a part of it: the way to each stroke of the
// part and the stroke. What comes before the first stroke of p belongs to it and
// what comes after the last one to that. The pen that is held when the part
// begins is put into the holder first. Where strokes between are left out the
// curves need not meet. Notes and the rest are kept. The numbers are those that
// the strokes of the part have in p.
func (p Program) Pick(part Part) (picked Program, numbers []int) {
	total := len(p.Drawn())
	if part.To == 0 {
		part.To = total
	}
	var out []Block
	var pen *Block   // the last change of pen
	held, n := 0, 1  // the pen, and the stroke that is under way or comes next
	drawing := false // the stroke is under way
	put := func(b Block, n int) {
		if n = min(n, total); n < part.From || n > part.To || part.Pen != 0 && part.Pen != held {
			return
		}
		if !drawing && (b.Kind == Draw || b.Kind == PenDown) {
			numbers = append(numbers, n)
		}
		if pen != nil && b.Kind != Pen {
			out = append(out, *pen)
		}
		pen = nil
		out = append(out, b)
	}
	for i, b := range p.Blocks {
		if drawing && (b.Kind == PenUp || b.Kind == Travel || b.Kind == Pen) {
			drawing = false
			n++
			if b.Kind == PenUp {
				put(b, n-1)
				continue
			}
		}
		if b.Kind == Pen {
			held, pen = b.Number, &p.Blocks[i]
		}
		put(b, n)
		drawing = drawing || b.Kind == Draw || b.Kind == PenDown
	}
	p.Blocks = out
	return p, numbers
}
