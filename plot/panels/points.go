package panels

import (
	"slices"

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

// Points are what to find before a load is drawn, in order: first those for the joints with
// earlier loads, of which a person may leave out the last as soon as the error is small
// enough; one to check these with; and threads by which the rest of the load is found.
type Points struct {
	List []Point
	// ForJoints is how many of the list are for the joints; of a load without joints with
	// earlier ones, for all that it draws.
	ForJoints int
	// After is the error to expect there after each of these points, in channels.
	After []cloth.Expectation
	// Enough reports that the last is within the bounds: 0.3 channel at the worst joint, and
	// usually 0.15 across a stroke, which is 0.19 both ways; 0.5 without joints.
	Enough bool
	// Check is the number of the point in List that checks those before it, -1 without one.
	Check int
}

// Bounds of the error at joints, in channels. What is off along a stroke lies in the lap and
// does not show; a plan tells of errors both ways, of which 95 of 100 are within 2.45
// standard deviations each way, and across the stroke within 1.96 (Rayleigh's and the normal
// distribution). So 0.15 across a stroke is 0.19 both ways. A line that is half a channel off
// is in its channel still; so far the rest of a load may be off.
var (
	jointBound = cloth.Bound{Greatest: cloth.MostError, Usual: cloth.EnoughError * 2.45 / 1.96}
	restBound  = cloth.Bound{Greatest: 0.5}
)

// How many points are asked for at most, for the joints and for the rest of a load; how many
// fresh cloth needs for its joints, beyond which fewer are looked for; and how many are kept
// where more make the error hardly less.
const (
	mostForJoints  = 18
	mostForRest    = 6
	usualForJoints = 12
	fewForJoints   = 8
	hardlyLess     = 0.97
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
	places, bound := p.placesOf(load), jointBound
	joints := len(places) > 0
	if !joints {
		places, bound = f.outermost(), restBound
	}
	c, err := f.choose(places, f.ink, bound, !opt.Threads)
	if err == nil && opt.Threads && !c.Enough {
		c, err = f.choose(places, slices.Concat(f.ink, f.threads), bound, true)
	}
	if err != nil {
		return Points{}, err
	}
	out := c.points(bound)
	if opt.Threads && joints {
		err = f.rest(&out)
	}
	f.name(out.List)
	return out, err
}

// placesOf returns the joints of a load with earlier ones, as places of the weave.
func (p Plan) placesOf(load int) []weave.Place {
	var at []paths.Point
	for _, j := range p.Joints {
		if j.Loads[1] == load {
			at = append(at, j.At)
		}
	}
	const most = 16
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

// planFor returns a plan for points; false where there are too few or they lie on one line.
func (f *finder) planFor(places []weave.Place, from []Point) (cloth.Plan, bool, error) {
	var at []weave.Place
	for _, p := range from {
		at = append(at, weave.Place{Across: float64(p.Across), Along: float64(p.Along)})
	}
	if len(places) == 0 || len(at) < leastPoints || onOneLine(at) {
		return cloth.Plan{}, false, nil
	}
	plan, err := cloth.NewPlan(f.plan.opt.Grid, f.opt.Prior, places, at)
	return plan, err == nil, err
}

// leastPoints are the fewest by which a load is found.
const leastPoints = 4

// A choice is points chosen of many.
type choice struct {
	cloth.Chosen
	plan cloth.Plan
	from []Point
}

// choose chooses points for the error at places; none where there are too few, or where all
// of them are not enough unless any are wanted.
func (f *finder) choose(places []weave.Place, from []Point, bound cloth.Bound, any bool) (choice, error) {
	plan, ok, err := f.planFor(places, from)
	if !ok {
		return choice{}, err
	}
	if !any {
		all := make([]int, len(from))
		for i := range all {
			all[i] = i
		}
		if x := plan.Expect(all); x.Greatest > bound.Greatest || bound.Usual > 0 && x.Usual > bound.Usual {
			return choice{}, nil
		}
	}
	return choice{plan.Choose(bound, mostForJoints), plan, from}, nil
}

// points returns the points of a choice, made fewer where that can be, with one to check
// them.
func (c choice) points(bound cloth.Bound) Points {
	out := Points{Check: -1}
	if len(c.Indices) == 0 {
		return out
	}
	chosen := c.Chosen
	if len(chosen.Indices) > usualForJoints {
		chosen = c.plan.Exchanged(chosen.Indices, bound)
	}
	n := len(chosen.Indices)
	if !chosen.Enough {
		n = worthwhile(chosen.After)
	}
	taken := chosen.Indices[:n]
	out.After, out.Enough, out.ForJoints = chosen.After[:n], chosen.Enough, n
	for _, i := range taken {
		out.List = append(out.List, c.from[i])
	}
	if i, _, ok := c.plan.Check(taken); ok {
		out.Check = len(out.List)
		out.List = append(out.List, c.from[i])
	}
	return out
}

// worthwhile returns how many points are kept so that the error is hardly more than after
// all of them.
func worthwhile(after []cloth.Expectation) int {
	n := len(after)
	for n > fewForJoints && after[n-2].Greatest*hardlyLess <= after[len(after)-1].Greatest && after[n-2].Usual*hardlyLess <= after[len(after)-1].Usual {
		n--
	}
	return n
}

// rest adds points by which the rest of the load comes to lie in its channels.
func (f *finder) rest(out *Points) error {
	from := slices.Concat(out.List, f.threads)
	plan, ok, err := f.planFor(f.outermost(), from)
	if !ok {
		return err
	}
	taken := make([]int, len(out.List))
	for i := range taken {
		taken[i] = i
	}
	x := plan.Expect(taken)
	for n := 0; n < mostForRest && x.Greatest > restBound.Greatest; n++ {
		var i int
		if i, x, ok = plan.Next(taken); !ok {
			break
		}
		taken, out.List = append(taken, i), append(out.List, from[i])
	}
	return nil
}

// onOneLine reports whether places lie in one channel or nearly.
func onOneLine(at []weave.Place) bool {
	lo, hi := at[0], at[0]
	for _, p := range at {
		lo = weave.Place{Across: min(lo.Across, p.Across), Along: min(lo.Along, p.Along)}
		hi = weave.Place{Across: max(hi.Across, p.Across), Along: max(hi.Along, p.Along)}
	}
	return min(hi.Across-lo.Across, hi.Along-lo.Along) < 1
}
