package hpgl

import (
	"context"

	"weftplot/paths/cores"
	"weftplot/plot/program"
)

const (
	// aStretch is about how many blocks are written ahead of their turn at a time.
	aStretch = 1024
	// leadIn is how many blocks before a stretch are looked at for a stroke that can be gone
	// through to find the state in which it begins.
	leadIn = 256
)

// share writes the blocks of p in stretches of about so many that are written on all cores.
// None begins within a way that is drawn. The bytes and the errors are those of one stretch
// after the other.
func (w *writer) share(ctx context.Context, p program.Program, stretch int, tell func(done, total int)) error {
	blocks, starts := p.Blocks, []int{0}
	for i := stretch; i < len(blocks); i++ {
		if blocks[i-1].Kind != program.Draw {
			starts, i = append(starts, i), i+stretch-1
		}
	}
	starts = append(starts, len(blocks))
	n := len(starts) - 1
	slots := min(cores.Slots(), n-1)
	ahead, sizes := make([]*writer, slots+1), make([]int, slots+1) // and how many blocks they write
	meter := cores.NewMeter(len(blocks), tell)
	for i := range ahead {
		ahead[i] = newWriter(p, w.m)
	}
	return cores.Chain[written]{
		Slots: slots,
		Turn: func(k int) (written, error) {
			err := w.run(ctx, blocks, starts[k], starts[k+1])
			meter.Add(starts[k+1] - starts[k])
			return w.written, err
		},
		Ahead: func(slot, k int, last written) (before, left written, ok bool) {
			a := ahead[slot]
			sizes[slot] = starts[k+1] - starts[k]
			if a.written = last; !a.lead(ctx, blocks, starts[k]) {
				return before, left, false
			}
			a.out.Reset()
			before = a.written
			err := a.run(ctx, blocks, starts[k], starts[k+1])
			return before, a.written, err == nil
		},
		Keep: func(slot int) bool {
			w.out.Write(ahead[slot].out.Bytes())
			w.written, w.ahead = ahead[slot].written, ahead[slot].ahead // the last may end in a way
			meter.Add(sizes[slot])
			return true
		},
	}.Run(ctx, n)
}

// lead brings a writer, which has the state of an earlier block, into that before block
// number to, as far as the stroke before it tells. It reports whether there is one.
func (w *writer) lead(ctx context.Context, blocks []program.Block, to int) bool {
	from, lowered := to-1, false
	for ; from >= max(0, to-leadIn); from-- {
		kind := blocks[from].Kind
		if lowered && kind == program.Travel {
			break
		}
		lowered = lowered || kind == program.PenDown || kind == program.Draw
	}
	if from < max(0, to-leadIn) {
		return false
	}
	w.moved, w.due, w.down, w.inking, w.low, w.list, w.ahead = true, false, false, false, true, list{}, nil
	return w.run(ctx, blocks, from, to) == nil
}
