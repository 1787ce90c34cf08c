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

// Part selects strokes of a program: those from From to To, numbered from 1 in
// the order of [Program.Strokes], that pen number Pen draws. A field that is 0
// selects all, so the zero Part is the whole program.
type Part struct{ From, To, Pen int }

// Pick returns the blocks of p that draw a part of it: the travel to each
// stroke of the part, and the stroke. Blocks before the first stroke of p
// belong to that stroke, and blocks after the last to the last. The pen that is
// held when the part begins is put into the holder first. Where strokes between
// are left out the curves need not meet. Notes and other fields are kept.
// numbers holds, for each stroke of the part, its number in p.
func (p Program) Pick(part Part) (picked Program, numbers []int) {
	k := picker{part: part, total: len(p.Drawn()), next: 1}
	if k.part.To == 0 {
		k.part.To = k.total
	}
	for i := range p.Blocks {
		k.take(&p.Blocks[i])
	}
	p.Blocks = k.blocks
	return p, k.numbers
}

// picker goes through a program and keeps what belongs to a part of it.
type picker struct {
	part    Part
	total   int // strokes of the program
	blocks  []Block
	numbers []int // of the strokes that are kept

	pen     *Block // the last change of pen, until it is kept
	held    int    // the pen in the holder
	next    int    // the stroke that is under way or comes next, from 1
	drawing bool   // that stroke is under way
}

// take handles the next block of the program.
func (k *picker) take(b *Block) {
	starts := b.Kind == Draw || b.Kind == PenDown
	if k.drawing && !b.Kind.Down(true) {
		k.drawing = false
		k.next++
		if b.Kind == PenUp { // it ends the stroke and belongs to it
			k.keep(b, k.next-1)
			return
		}
	}
	if b.Kind == Pen {
		k.held, k.pen = b.Number, b
	}
	if k.keep(b, k.next) && starts && !k.drawing {
		k.numbers = append(k.numbers, min(k.next, k.total))
	}
	k.drawing = k.drawing || starts
}

// keep keeps a block that belongs to stroke n, after the change of pen that is
// due, if the stroke is in the part; what comes after the last stroke belongs to
// that one.
func (k *picker) keep(b *Block, n int) bool {
	n = min(n, k.total)
	if n < k.part.From || n > k.part.To || k.part.Pen != 0 && k.part.Pen != k.held {
		return false
	}
	if k.pen != nil && b.Kind != Pen {
		k.blocks = append(k.blocks, *k.pen)
	}
	k.pen = nil
	k.blocks = append(k.blocks, *b)
	return true
}
