package plot

import (
	"context"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/plot/fit"
	"weftplot/plot/knife"
	"weftplot/profiles"
)

// Fitted is what the pens, or the holder of a blade, follow.
type Fitted struct {
	Ordered
	// Ways holds for each tour its strokes as lines and arcs, in order. A blade's
	// holder goes other ways than its cuts: a run-in first, if the pen has one,
	// then each cut as often as it has passes.
	Ways [][]Stroke

	// off says of each curve of Ways how far it is at most from what is asked, mm; nil for
	// the ways of a blade.
	off [][][]float64

	lookedAt bool // it is only looked at; see Options.AsGiven
}

// Fit turns the strokes of each tour into lines and arcs within the tolerance,
// and the cuts of a blade into the ways of its holder. A run-in that has no room
// beside the drawing is a [fault.Fit]. It tells opt.Progress how far it is.
func Fit(ctx context.Context, o Ordered, opt Options) (Fitted, error) {
	f, total := Fitted{Ordered: o}, 0
	for _, t := range o.Tours {
		total += len(t.Asked)
	}
	meter := opt.meter(Fitting, total)
	for _, t := range o.Tours {
		within, write := o.shares(t.Pen)
		ways, offs := make([]Stroke, len(t.Asked)), make([][]float64, len(t.Asked))
		err := cores.Each(ctx, len(ways), func(i int) error {
			arcs, off, err := o.fitted(ctx.Err, t.Asked[i].Stroke, t.Pen, within, write)
			ways[i], offs[i] = Stroke{arcs, t.Asked[i].Layer}, off
			meter.Add(1)
			return err
		})
		if err != nil {
			return Fitted{}, err
		}
		if t.Pen.Blade {
			if ways, err = o.towBlade(ways, t.Pen); err != nil {
				return Fitted{}, err
			}
			offs = nil
		}
		f.Ways, f.off = append(f.Ways, ways), append(f.off, offs)
	}
	return f, nil
}

// fitted returns a stroke as lines and arcs, and how far each is from it at most, mm.
func (o Ordered) fitted(stop func() error, s paths.Stroke, pen profiles.Pen, within, write float64) (way paths.Stroke, off []float64, err error) {
	if o.short(pen) {
		if way, off, err = fit.Short(stop, s, within); err != nil {
			return nil, nil, err
		}
		if beyond, _ := o.Inputs.Machine.Reach().Grow(-write).Excess(way.Bounds()); beyond <= 0 {
			return way, off, nil
		}
	}
	if way, off, err = fit.ArcsUntil(stop, s, within); err == nil && !pen.Blade && o.bendsOut(way, within+write) {
		way, off = inscribed(s, within)
	}
	return way, off, err
}

// bendsOut reports whether a way in G-code has an arc so near the edge of the machine's
// reach that fitting and writing, which stray that many mm, may lead over it.
func (o Ordered) bendsOut(way paths.Stroke, strays float64) bool {
	if o.Inputs.Machine.Language != profiles.GCode {
		return false
	}
	reach := o.Inputs.Machine.Reach().Grow(-strays)
	for _, c := range way {
		if _, ok := c.(paths.Arc); !ok {
			continue
		}
		if by, _ := reach.Excess(c.Bounds()); by > 0 {
			return true
		}
	}
	return false
}

// inscribed returns a stroke as chords with their ends on it, which leave no rectangle
// that it lies in, and how far each may be from it.
func inscribed(s paths.Stroke, tol float64) (chords paths.Stroke, off []float64) {
	chords = paths.Polyline(s.Flatten(tol)...)
	for range chords {
		off = append(off, tol)
	}
	return chords, off
}

// OnCloth returns the strokes that are to be on the cloth in the machine frame,
// without their layers, as the design has them; nil for a blade, whose ways are
// not its cuts.
func (t Tour) OnCloth() []paths.Stroke {
	if t.Pen.Blade {
		return nil
	}
	return plain(t.Asked)
}

// overcutOffsets is how far a closed cut goes on over its start, in offsets of
// the blade, so that its ends meet (common practice: the offset or a little
// more).
const overcutOffsets = 1.5

// towBlade returns the ways that the blade's holder goes to make the cuts: the
// run-in first, if the pen has one, then each cut as often as it has passes.
func (o Ordered) towBlade(cuts []Stroke, p profiles.Pen) ([]Stroke, error) {
	offset, passes := float64(p.Offset), max(1, p.Passes)
	blade := knife.Blade{
		Offset: offset, Overcut: overcutOffsets * offset, Passes: passes,
		// Over a turn smaller than this the tip strays no more than fitting may.
		Swing: o.tolerance(o.bladeShare()) / max(offset, 1e-6),
	}
	var out []Stroke
	if p.RunIn > 0 && len(cuts) > 0 {
		var err error
		if blade.RunIn, err = knife.RunIn(o.Inputs.Machine, boundsOf(cuts), p, o.Settings.Said); err != nil {
			return nil, err
		}
	}
	ways := knife.Ways(plain(cuts), blade)
	if extra := len(ways) - passes*len(cuts); extra > 0 {
		out, ways = append(out, Stroke{ways[0], runInLayer}), ways[1:]
	}
	for i, w := range ways {
		out = append(out, Stroke{w, cuts[i/passes].Layer})
	}
	return out, nil
}

// runInLayer is the name of the layer that a blade's run-in is in.
const runInLayer = "run-in"
