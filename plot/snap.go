package plot

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/join"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap"
	"weftplot/plot/figures"
	"weftplot/plot/job"
)

// Snapped is a design with its border and its straight lines in the channels of
// the weave, in the frame "drawn".
type Snapped struct {
	Laid
	// Lines holds the strokes but those of words, the border's first.
	Lines []Stroke
	// Moves says which lines went into which channels, and how far; it is empty
	// where nothing was to be snapped.
	Moves snap.Result
	// Rug is the finished rug's rectangle.
	Rug paths.Rect
	// MakingUp are the lines round the rug for making it up. Their strokes are among
	// Lines, as are those of the ticks.
	MakingUp []Round
}

// Snap puts the border on its channels and the artwork's straight lines into
// theirs. It adds the lines for making up, which lie in channels too. Its errors are those of
// ctx, of [snap.Strokes] and of [weave.Border], and a [fault.Fit] for lines beyond the
// margin. It tells opt.Progress how far it is.
func Snap(ctx context.Context, l Laid, opt Options) (Snapped, error) {
	s, err := snapped(ctx, l, opt)
	if err != nil {
		return Snapped{}, err
	}
	return s.withMakingUp()
}

// snapped is [Snap] without the lines for making up.
func snapped(ctx context.Context, l Laid, opt Options) (Snapped, error) {
	s := Snapped{Laid: l, Rug: paths.Rect{Max: paths.Point{X: l.Layout.Width, Y: l.Layout.Height}}}
	var fixed []weave.FixedLine
	var room *snap.Room
	rows, err := l.Settings.BorderRows()
	if err != nil {
		return Snapped{}, err
	}
	if rows != nil {
		var lines []paths.Stroke
		var inset int
		nx, ny := int(math.Round(l.Layout.NX)), int(math.Round(l.Layout.NY))
		if lines, fixed, inset, err = weave.Border(nx, ny, rows, l.Grid); err != nil {
			return Snapped{}, err
		}
		inset += l.takenInside()
		room = &snap.Room{Left: inset, Right: nx - inset, Bottom: inset, Top: ny - inset}
		for _, k := range lines {
			s.Lines = append(s.Lines, Stroke{k, BorderLayer})
		}
	}
	band, err := l.bandStrokes(ctx)
	if err != nil {
		return Snapped{}, err
	}
	s.Lines = append(s.Lines, band...)
	if l.Settings.NoSnap && len(l.Settings.SnapFor) == 0 {
		if len(l.Settings.Channel) > 0 {
			return Snapped{}, fault.Bad("channel", "leave out [no-snap]", "no line goes into a channel in this job")
		}
		s.Lines = append(s.Lines, l.Artwork...)
		if rows == nil && len(l.Words) > 0 {
			s.Rug = s.Rug.Union(boundsOf(l.lettered()))
		}
		return s, nil
	}
	if err := l.layersKnown(); err != nil {
		return Snapped{}, err
	}
	s.Moves, err = l.inChannels(snap.Options{
		Angle: l.Settings.Snap, AngleOf: l.angles(), Tolerance: l.tolerance(snapShare), Fixed: fixed, Room: room, Stop: ctx.Err, Progress: opt.shares(Snapping),
		Diagonals: l.Settings.Diagonals != job.DiagonalsOff,
		Loose:     func(i int) bool { return l.Settings.StripesIn(l.Artwork[i].Layer) == job.StripesNearest },
	})
	if err != nil {
		return Snapped{}, err
	}
	for i, k := range l.Artwork {
		s.Lines = append(s.Lines, Stroke{s.Moves.Strokes[i], k.Layer})
	}
	if rows == nil {
		// The rug's edge is its outer line, which may have moved.
		s.Rug = boundsOf(s.Lines).Union(boundsOf(l.lettered()))
	}
	return s, nil
}

// takenInside returns how many channels lie between the innermost line of the border and
// the room for the artwork: the clearance, and a row of motifs with its own.
func (l Laid) takenInside() int {
	clear := l.Settings.ClearRows() + 1
	if l.Band != nil {
		return clear + l.Band.Deep + clear
	}
	return clear
}

// inChannels puts the artwork on the weave, channels numbered from the rug's corner.
// Without a border that is where the outer lines came to lie, which lines put into
// channels by name may have moved in turn.
func (l Laid) inChannels(opt snap.Options) (snap.Result, error) {
	out, err := snap.Strokes(plain(l.Artwork), l.Grid, opt)
	switch {
	case err != nil:
		return snap.Result{}, err
	case len(l.Settings.Channel) == 0 && opt.Room == nil:
		return fromCorner(out, l.Grid), nil
	case len(l.Settings.Channel) == 0:
		return out, nil
	}
	corner := [2]int{}
	const tries = 5
	for range tries {
		if opt.Room == nil {
			corner = cornerOf(out, l.Grid)
		}
		if opt.Named, err = l.namedLines(corner); err != nil {
			return snap.Result{}, err
		}
		if out, err = snap.Strokes(plain(l.Artwork), l.Grid, opt); err != nil {
			return snap.Result{}, err
		}
		if opt.Room != nil {
			return out, nil
		}
		if cornerOf(out, l.Grid) == corner {
			return out.Renumbered(corner[weave.Across], corner[weave.Along], l.Grid), nil
		}
	}
	return snap.Result{}, fault.Bad("channel", "give the rug a [border], from which channels are counted, or name 0 for its outer line",
		"a line that is named is the rug's outer line at the left or at the bottom, and that lies in channel 0 wherever it goes")
}

// namedLines returns the lines that are put into channels by name, the rug's corner
// lying where two channels cross.
func (l Laid) namedLines(corner [2]int) ([]snap.Named, error) {
	lines, err := l.Settings.NamedLines()
	if err != nil {
		return nil, err
	}
	layers := layersOf(l.Artwork)
	var out []snap.Named
	for _, n := range lines {
		if !slices.Contains(layers, n.Layer) {
			return nil, fault.Bad("channel", fmt.Sprintf("the layers are %s", figures.Quoted(layers)), "there is no layer called %q", n.Layer)
		}
		most := l.Layout.NX
		if n.Axis == weave.Along {
			most = l.Layout.NY
		}
		if whole := int(math.Round(most)); n.Channel > whole {
			return nil, fault.Bad("channel", "name another channel", "channel %d lies outside the rug, which has the channels 0 to %d %s", n.Channel, whole, n.Axis)
		}
		of := func(i int) bool { return l.Artwork[i].Layer == n.Layer }
		out = append(out, snap.Named{Name: fmt.Sprintf("layer %q", n.Layer), Of: of, Axis: n.Axis, Channel: n.Channel, Zero: corner[n.Axis]})
	}
	return out, nil
}

// fromCorner numbers the channels from the corner of a rug without a border: its
// outer lines may have gone into other channels than the artwork's edge lay in.
func fromCorner(r snap.Result, g weave.Grid) snap.Result {
	c := cornerOf(r, g)
	return r.Renumbered(c[weave.Across], c[weave.Along], g)
}

// cornerOf returns the channels that cross at the lower left corner, by axis.
func cornerOf(r snap.Result, g weave.Grid) [2]int {
	corner := g.PlaceOf(paths.BoundsOf(r.Strokes).Min)
	return [2]int{weave.Across: int(math.Round(corner.Across)), weave.Along: int(math.Round(corner.Along))}
}

// layersKnown refuses what is said of layers that are not there.
func (l Laid) layersKnown() error {
	layers := slices.Compact(append(layersOf(l.Artwork), l.Settings.RepeatLayers()...))
	for _, k := range []struct {
		setting string
		of      map[string]string
	}{{"stripes-for", l.Settings.StripesFor}, {"snap-for", l.Settings.SnapFor}} {
		for _, layer := range slices.Sorted(maps.Keys(k.of)) {
			if !slices.Contains(layers, layer) {
				return fault.Bad(k.setting, fmt.Sprintf("the layers are %s", figures.Quoted(layers)), "there is no layer called %q", layer)
			}
		}
	}
	return nil
}

// angles returns the greatest angle of lines that go into a channel, by stroke of the
// artwork.
func (l Laid) angles() func(i int) float64 {
	if len(l.Settings.SnapFor) == 0 {
		return nil
	}
	return func(i int) float64 {
		angle, err := l.Settings.SnapIn(l.Artwork[i].Layer)
		if err != nil {
			return 0 // it was refused long before
		}
		return angle
	}
}

// Joined is a drawing of as few strokes as can be, in the frame "drawn".
type Joined struct {
	Snapped
	// Drawn holds the strokes, layer by layer, the border's first.
	Drawn []Stroke
	// ByHand holds the border where a person is to draw it on the cloth.
	ByHand []Stroke
	// MergedMM is the length that was drawn twice in the design and is once here.
	MergedMM float64

	part  *loadPart // of a kit; nil for a single rug
	words []int     // which of Words each of Drawn is of, from 1; 0 is none
}

// Join makes as few strokes as can be of the lines of each layer, and draws once
// what lies there twice, unless the settings keep it or it would cost lifts
// ([join.Strokes]). Its error is that of ctx, or names the layer that too many
// lines are heaped up in. It tells opt.Progress how far it is.
func Join(ctx context.Context, s Snapped, opt Options) (Joined, error) {
	j := Joined{Snapped: s}
	words, line := s.lettered(), s.linesOfWords()
	names := layersOf(slices.Concat(s.Lines, words))
	layers, err := s.joinLayers(ctx, names, opt)
	if err != nil {
		return Joined{}, err
	}
	for l, name := range names {
		j.MergedMM += layers[l].merged
		to := &j.Drawn
		if name == BorderLayer && s.Settings.BorderOn == job.BorderOnCloth {
			to = &j.ByHand
		}
		for _, k := range layers[l].strokes {
			*to = append(*to, Stroke{k, name})
		}
		j.words = append(j.words, make([]int, len(j.Drawn)-len(j.words))...)
		for i, k := range words { // as few strokes as can be already, and in their channels
			if k.Layer == name {
				j.Drawn, j.words = append(j.Drawn, k), append(j.words, line[i])
			}
		}
	}
	return j, nil
}

// joinedLayer is what joining made of the lines of a layer.
type joinedLayer struct {
	strokes []paths.Stroke
	merged  float64 // mm
}

// joinLayers joins the lines of each of the layers.
func (s Snapped) joinLayers(ctx context.Context, names []string, opt Options) ([]joinedLayer, error) {
	groups := map[string][]paths.Stroke{}
	for _, k := range s.Lines {
		groups[k.Layer] = append(groups[k.Layer], k.Stroke)
	}
	out := make([]joinedLayer, len(names))
	meter := opt.meter(Joining, 100*len(s.Lines))
	err := cores.Each(ctx, len(names), func(i int) error {
		lines, told := groups[names[i]], 0
		joined, rep, err := join.Strokes(lines, join.Options{
			Tolerance: s.Meet(), KeepDoubles: s.Settings.KeepDoubles, InkPerLift: s.inkPerLift(names[i]), Through: s.Settings.ThroughCrossings, Stop: ctx.Err,
			Progress: func(share float64) {
				done := int(share * 100 * float64(len(lines)))
				meter.Add(done - told)
				told = done
			},
		})
		out[i] = joinedLayer{joined, rep.MergedMM}
		if err != nil && ctx.Err() == nil {
			err = fault.At(fmt.Sprintf("layer %q", names[i]), err)
		}
		return err
	})
	return out, err
}

// inkPerLift returns how many mm the pen of a layer draws at its full speed while it could
// also be lifted and set down again; 0 where there is no machine or no pen.
func (l Laid) inkPerLift(layer string) float64 {
	pen, err := l.PenFor(layer)
	if err != nil { // it is told when strokes are shared out among the pens
		return 0
	}
	lift := l.Inputs.Machine.Lift
	return float64(lift.UpTime+lift.DownTime) * l.feed(pen)
}

// bandStrokes returns the strokes of the band in the frame "drawn".
func (l Laid) bandStrokes(ctx context.Context) ([]Stroke, error) {
	if l.Band == nil {
		return nil, nil
	}
	motifs, corners, err := l.Band.Strokes(ctx, l.Settings, l.Grid, l.Mirror(l.Layout.Width), l.tolerance(snapShare))
	if err != nil {
		return nil, err
	}
	var out []Stroke
	for _, k := range motifs {
		out = append(out, Stroke{k, l.Band.Layer})
	}
	for _, k := range corners {
		out = append(out, Stroke{k, l.Settings.RepeatCorner})
	}
	return out, nil
}
