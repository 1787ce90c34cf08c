package gcode

import (
	"context"

	"weftplot/paths/cores"
	"weftplot/plot/program"
)

const (
	// aStretch is how many blocks are written ahead of their turn at a time.
	aStretch = 4096
	// leadIn is how many blocks before a stretch are gone through to find the state in which
	// it begins: that depends on the last place, the last feed and the last pen move.
	leadIn = 32
)

// share writes the blocks of p from a number on, in stretches of so many that are written on all cores.
// The bytes and the errors are those of one stretch after the other.
func (w *writer) share(ctx context.Context, p program.Program, from, stretch int, tell func(done, total int)) error {
	blocks := p.Blocks
	n := (len(blocks) - from + stretch - 1) / stretch
	slots := min(cores.Slots(), max(0, n-1))
	ahead, sizes := make([]*writer, slots+1), make([]int, slots+1) // and how many blocks they write
	for i := range ahead {
		ahead[i] = newWriter(p, w.m)
	}
	meter := cores.NewMeter(len(blocks)-from, tell)
	end := func(k int) int { return min(len(blocks), from+(k+1)*stretch) }
	return cores.Chain[written]{
		Slots: slots,
		Turn: func(k int) (written, error) {
			err := w.run(ctx, blocks, from+k*stretch, end(k))
			meter.Add(end(k) - (from + k*stretch))
			return w.written, err
		},
		Ahead: func(slot, k int, last written) (before, left written, ok bool) {
			a, first := ahead[slot], from+k*stretch
			sizes[slot] = end(k) - first
			if a.written = last; !a.lead(ctx, blocks, first) {
				return before, left, false
			}
			a.out.Reset()
			before = a.written
			err := a.run(ctx, blocks, first, end(k))
			return before, a.written, err == nil
		},
		Keep: func(slot int) bool {
			w.out.Write(ahead[slot].out.Bytes())
			w.written = ahead[slot].written
			meter.Add(sizes[slot])
			return true
		},
	}.Run(ctx, n)
}

// lead brings a writer, which has the state of an earlier block, into that before block
// number to, as far as a few blocks tell. It reports whether they tell a place.
func (w *writer) lead(ctx context.Context, blocks []program.Block, to int) bool {
	from := max(0, to-leadIn)
	for from < to && blocks[from].Curve == nil {
		from++
	}
	if from == to {
		return false
	}
	w.allow(&blocks[from], blocks[from+1:])
	start, err := w.commanded().Apply(blocks[from].Curve.Start()), error(nil)
	w.said, w.exact = false, start
	if w.at, err = w.round(start); err != nil {
		return false
	}
	w.said = true
	return w.run(ctx, blocks, from, to) == nil
}
