package panels

import (
	"errors"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Point is a place of the cloth that a person finds before a load is drawn.
type Point struct {
	// Name says what to look for. No two points of a load have the same.
	Name string
	// Across and Along count channels from the lower left corner of the drawing.
	Across, Along int
	At            paths.Point // the same in mm of the frame drawn
	// Thread tells a crossing of channels that is counted on bare cloth from a corner or a
	// crossing of ink.
	Thread bool
}

// PointOptions say how points are found. The zero value finds ink only.
type PointOptions struct {
	// Prior is how such cloth usually lies. A noise of 0 is 0.2 mm: a person who steers
	// with care (common practice).
	Prior cloth.Prior
	// Threads lets channels be counted on bare cloth, too. Ink shows where channels are only
	// if the loads before were found on the cloth; so without marks for the first load
	// threads and ink contradict each other.
	Threads bool
}

// Points are what to find before a load is drawn, in order: a person may stop as soon as
// the error is small enough, but for the one to check with.
type Points struct {
	List []Point
	// After is the error to expect at the joints with earlier loads after each point; of a
	// load without such joints, at the outermost of what it draws.
	After []cloth.Expectation
	// Enough reports that the last is within the bounds: 0.3 channel at the worst joint and
	// 0.15 usually.
	Enough bool
	// Check is the number of the point in List that checks those before it, -1 without one.
	Check int
}

// Bounds of the error at joints, in channels. A line that is half a channel off is in its
// channel still; so far the rest of a load may be off.
var (
	jointBound = cloth.Bound{Greatest: cloth.MostError, Usual: cloth.EnoughError}
	restBound  = cloth.Bound{Greatest: 0.5}
)

// How many points are asked for at most, for the joints and for the rest of a load.
const (
	mostForJoints = 16
	mostForRest   = 8
)

// usualNoise is how exactly a person finds a point who steers with care, in mm each way
// (common practice).
const usualNoise = 0.2

// Points returns what to find before a load is drawn, by its number from 0: corners and
// crossings of ink that earlier loads have drawn in its channels, and counted threads where
// ink is not enough. They are chosen by [cloth.Plan] for the least error at the joints with
// earlier loads. Where nothing can be found the list is empty.
func (p Plan) Points(load int, opt PointOptions) (Points, error) {
	if load < 0 || load >= len(p.Loads) {
		return Points{}, fault.Bad("", "", "there is no load %d", load+1)
	}
	if opt.Prior.Noise == 0 {
		opt.Prior.Noise = usualNoise
	}
	f := finder{plan: p, load: load, opt: opt}
	f.collect()
	joints := p.placesOf(load)
	bound := jointBound
	if len(joints) == 0 {
		joints, bound = f.outermost(), restBound
	}
	out, err := f.choose(joints, f.ink, nil, bound, mostForJoints)
	if err != nil {
		return Points{}, err
	}
	if opt.Threads && !out.Enough {
		if out, err = f.choose(joints, append(f.ink, f.threads...), nil, bound, mostForJoints); err != nil {
			return Points{}, err
		}
	}
	f.name(out.List)
	return out, nil
}

// placesOf returns the joints of a load with earlier ones, as places of the weave.
func (p Plan) placesOf(load int) []weave.Place {
	var at []paths.Point
	for _, j := range p.Joints {
		if j.Loads[1] == load {
			at = append(at, j.At)
		}
	}
	const most = 32
	var out []weave.Place
	for _, i := range spreadOut(at, most) {
		out = append(out, p.opt.Grid.PlaceOf(at[i]))
	}
	return out
}

// outermost returns the corners of what the load draws.
func (f *finder) outermost() []weave.Place {
	box := paths.EmptyRect()
	for _, part := range f.plan.Loads[f.load].Parts {
		box = box.Union(part.Piece.Bounds())
	}
	g := f.plan.opt.Grid
	return []weave.Place{
		g.PlaceOf(box.Min), g.PlaceOf(box.Max), g.PlaceOf(box.Centre()),
		g.PlaceOf(paths.Point{X: box.Min.X, Y: box.Max.Y}), g.PlaceOf(paths.Point{X: box.Max.X, Y: box.Min.Y}),
	}
}

// choose chooses points for the error at places, and one to check them with.
func (f *finder) choose(places []weave.Place, from, taken []Point, bound cloth.Bound, most int) (Points, error) {
	out := Points{Check: -1}
	var at []weave.Place
	for _, p := range from {
		at = append(at, weave.Place{Across: float64(p.Across), Along: float64(p.Along)})
	}
	if len(places) == 0 || len(at) < 2 {
		return out, nil
	}
	plan, err := cloth.NewPlan(f.plan.opt.Grid, f.opt.Prior, places, at)
	if err != nil {
		var bad *fault.Error
		if errors.As(err, &bad) && onOneLine(append(at, places...)) {
			return out, nil
		}
		return out, err
	}
	chosen := plan.Choose(bound, most)
	out.After, out.Enough = chosen.After, chosen.Enough
	for _, i := range chosen.Indices {
		out.List = append(out.List, from[i])
	}
	if i, _, ok := plan.Check(chosen.Indices); ok {
		out.Check = len(out.List)
		out.List = append(out.List, from[i])
		out.After = append(out.After, plan.Expect(append(chosen.Indices, i)))
	}
	return out, nil
}

// onOneLine reports whether places lie in one channel or nearly.
func onOneLine(at []weave.Place) bool {
	lo, hi := at[0], at[0]
	for _, p := range at {
		lo = weave.Place{Across: min(lo.Across, p.Across), Along: min(lo.Along, p.Along)}
		hi = weave.Place{Across: max(hi.Across, p.Across), Along: max(hi.Along, p.Along)}
	}
	return math.Min(hi.Across-lo.Across, hi.Along-lo.Along) < 1
}
