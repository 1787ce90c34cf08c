package layout

import (
	"context"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/frieze"
	"weftplot/paths/weave/snap"
	"weftplot/plot/figures"
	"weftplot/plot/job"
)

// Band is a row of equal motifs along all sides of the rug, in whole channels.
type Band struct {
	frieze.Band
	frieze.Plan
	Wish  frieze.Wish // with the sides as they would be if nothing gave
	Layer string      // of the motif

	sides, corners []paths.Stroke // the motifs as drawn, their lower left corners at 0,0
	box, cornerBox paths.Rect     // of them as drawn
}

// bandOf divides a design into the band, which begins at channel from, and the rest. The
// band is nil where nothing is repeated along the border.
func bandOf(d paths.Design, s job.Settings, g weave.Grid, from int) (rest paths.Design, b *Band, err error) {
	if s.Repeat == "" {
		return d, nil, nil
	}
	b = &Band{Layer: s.Repeat, Band: frieze.Band{From: from}}
	b.sides, b.box, err = motifOf(d, s.Repeat, "repeat")
	if err == nil && s.CornerIsMotif() {
		b.corners, b.cornerBox, err = motifOf(d, s.RepeatCorner, "repeat-corner")
	}
	if err != nil {
		return d, nil, err
	}
	rest = d
	rest.Layers = slices.DeleteFunc(slices.Clone(d.Layers), func(l paths.Layer) bool { return slices.Contains(s.RepeatLayers(), l.Name) })
	if len(rest.Layers)+len(rest.Words) == 0 {
		return d, nil, fault.Bad(d.Name, "draw what is to stand inside the row of motifs, on a layer of its own", "the design holds nothing but motifs")
	}
	if b.Deep, err = s.RepeatDeep(b.box.Height(), d.HasSize, g); err != nil {
		return d, nil, err
	}
	gap, err := s.RepeatRows()
	if err != nil {
		return d, nil, err
	}
	scale := float64(b.Deep) * g.Along / b.box.Height()
	b.Wish = frieze.Wish{Width: max(1, int(math.Round(b.box.Width()*scale/g.Across))), Gap: gap + 1}
	return rest, b, nil
}

// motifOf returns the strokes of a layer and their box.
func motifOf(d paths.Design, layer, setting string) (strokes []paths.Stroke, box paths.Rect, err error) {
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Name)
		if l.Name == layer {
			for _, k := range l.Strokes {
				strokes = append(strokes, k.Stroke)
			}
		}
	}
	if len(strokes) == 0 {
		return nil, box, fault.Bad(setting, fmt.Sprintf("the layers are %s", figures.Quoted(names)), "there is no layer called %q with lines to repeat", layer)
	}
	if box = paths.BoundsOf(strokes); box.Width() <= 0 || box.Height() <= 0 {
		return nil, box, fault.Bad(setting, "draw a motif with a width and a height", "the layer %q is a single line and no motif", layer)
	}
	return strokes, box, nil
}

// close finds how the band closes, and where the size gives, the size of the rug.
func (b *Band) close(l *Layout, s job.Settings, g weave.Grid) error {
	corner := 2 * (b.From + b.Deep)
	b.Wish.Sides = [2]int{int(math.Round(l.NX)) - corner, int(math.Round(l.NY)) - corner}
	if min(b.Wish.Sides[0], b.Wish.Sides[1]) < 1 {
		return fault.TooBig("repeat", "make the rug larger, or the motif lower: [repeat-height]",
			"the border and the motifs take %d channels on every side, and the rug is %.0f by %.0f", corner/2, l.NX, l.NY)
	}
	plan, ok := b.PlanFor(s.RepeatWay())
	if !ok {
		return fault.TooBig("repeat", "let something else give: [repeat-give] size always closes; or another [width], [repeat-height] or [repeat-gap]",
			"motifs %d channels wide do not close on sides of %d and %d channels when only the %s gives", b.Wish.Width, b.Wish.Sides[0], b.Wish.Sides[1], s.RepeatWay())
	}
	b.Plan = plan
	b.NX, b.NY = plan.Sides[0].Length+corner, plan.Sides[1].Length+corner
	l.NX, l.NY = float64(b.NX), float64(b.NY)
	return weave.CheckSize(b.NX, b.NY)
}

// PlanFor returns how the band closes when something gives, one of [job.Ways].
func (b *Band) PlanFor(way string) (frieze.Plan, bool) {
	switch way {
	case job.GiveMotif:
		return b.Wish.ByMotif()
	case job.GiveSize:
		return b.Wish.BySize(), true
	}
	return b.Wish.ByGap()
}

// Strokes returns the strokes of the motifs, and of those in the corners that are others,
// in the frame that m takes the frame "rug" to. They are put into channels within tol mm.
func (b *Band) Strokes(ctx context.Context, s job.Settings, g weave.Grid, m paths.Affine, tol float64) (motifs, corners []paths.Stroke, err error) {
	motif, err := onChannels(ctx, s, g, tol, b.Layer, b.sides, b.box, b.Plan.Width, b.Deep)
	if err != nil {
		return nil, nil, err
	}
	put := func(k paths.Stroke, side, at int) {
		motifs = append(motifs, k.Transform(b.Turned(side, at, g).Then(m)))
	}
	for side := range 4 {
		run := b.Plan.Sides[side%2]
		for _, at := range run.Starts {
			for _, k := range motif {
				put(k, side, at)
			}
		}
		if s.RepeatCorner != job.CornerMitre {
			continue
		}
		for _, at := range b.beyond(run) {
			for _, k := range motif {
				for _, part := range b.Mitred(k, at, run.Length, g) {
					put(part, side, at)
				}
			}
		}
	}
	if !s.CornerIsMotif() {
		return motifs, nil, nil
	}
	corner, err := onChannels(ctx, s, g, tol, s.RepeatCorner, b.corners, b.cornerBox, b.Deep, b.Deep)
	for side := range 4 {
		for _, k := range corner {
			corners = append(corners, k.Transform(b.Turned(side, -b.Deep, g).Then(m)))
		}
	}
	return motifs, corners, err
}

// beyond returns where motifs begin that reach into the corners.
func (b *Band) beyond(run frieze.Side) (out []int) {
	period := b.Plan.Width + b.Wish.Gap
	for at := run.Starts[0] - period; at+b.Plan.Width > -b.Deep; at -= period {
		out = append(out, at, run.Length-at-b.Plan.Width)
	}
	return out
}

// onChannels returns a motif so many channels wide and high, its lines in channels.
func onChannels(ctx context.Context, s job.Settings, g weave.Grid, tol float64, layer string, strokes []paths.Stroke, box paths.Rect, wide, high int) ([]paths.Stroke, error) {
	m := paths.Translate(box.Min.Mul(-1)).Then(paths.Scale(float64(wide)*g.Across/box.Width(), float64(high)*g.Along/box.Height()))
	out := make([]paths.Stroke, len(strokes))
	for i, k := range strokes {
		out[i] = k.Transform(m)
	}
	angle, err := s.SnapIn(layer)
	if err != nil || angle == 0 {
		return out, err
	}
	r, err := snap.Strokes(out, g, snap.Options{
		Angle: angle, Tolerance: tol, Room: &snap.Room{Right: wide, Top: high}, Stop: ctx.Err,
		Diagonals: s.Diagonals != job.DiagonalsOff, KeepMiddle: true,
	})
	return r.Strokes, err
}
