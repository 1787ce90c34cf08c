package finding

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
)

// A Load is a part of a rug that is to be found on the cloth.
type Load struct {
	Grid  weave.Grid
	Box   paths.Rect      // that the load draws in, in mm
	Meets []cloth.Passage // where it meets what is drawn before
	// Bow is how far such cloth bows, as a share of its threads' length.
	Bow float64
}

// A Point is a place to be found.
type Point struct {
	Place weave.Place
	// Ink is the number of the ink that was offered, or -1: a thread that is counted.
	Ink int
}

// Points are what is found for a load, in an order that lets a person stop as soon as the
// error to expect is small enough.
type Points struct {
	List []Point
	// Enough is after how many of them the error is likely to be small enough, one that
	// checks the others included; 0 where it may not be after all.
	Enough int
	// AtJoints is the error to expect at the joints once all are found, in channels; 0
	// without joints.
	AtJoints float64
}

// inkNoise is how exactly a person who steers with care finds ink, in mm each way (common
// practice).
const inkNoise = 0.2

// InkBesideThread is how far ink of earlier loads lies beside the threads, in mm each way,
// root mean square: the error of the loads that drew it, which is likely to be a tenth of a
// channel where they meet others, and twice that elsewhere.
const (
	InkBesideThread = 0.2
	inkElsewhere    = 0.4
)

// mostInk is how many points are chosen of the ink alone, for the joints alone.
const mostInk = 8

// Choose chooses points for a load, at most so many, of ink that is offered and of threads
// within the load.
//
// The criterion is the error to expect as a share of what is small enough: across the lines
// at the joints, and at the places all over the load, 0.2 and 0.5 of a channel (see
// [search]). One mark at a time is taken that lowers the fourth power's mean of its variance
// most, which stands between I-optimality and G-optimality: Kiefer and Wolfowitz, Canadian
// J. Math. 12 (1960) 363-366; Cohn, Neural Networks 9 (1996) 1071-1083. The last point is
// the one that the others foretell most exactly: it checks them. The list is empty where no
// map follows from what can be found.
func (l Load) Choose(ink []weave.Place, most int) (Points, error) {
	at := append(slices.Clone(ink), l.threads(ink)...)
	if len(at) < 4 || !(l.Box.Width() > 0 && l.Box.Height() > 0) {
		return Points{}, nil
	}
	prior := cloth.Prior{Noise: inkNoise, Bow: l.Bow}
	all, err := cloth.NewPlanFor(l.Grid, prior, l.aims(), at)
	if err != nil {
		return Points{}, err
	}
	noises := slices.Repeat([]float64{inkNoise}, len(at))
	for i := len(ink); i < len(at); i++ {
		noises[i] = math.Hypot(inkNoise, inkElsewhere)
	}
	all = all.WithNoises(noises)
	chosen, err := l.ofInk(prior, at, len(ink), most)
	if err != nil {
		return Points{}, err
	}
	small := cloth.Bound{Greatest: 1}
	for x := all.Expect(chosen); len(chosen) < most-1 && x.Greatest > small.Greatest; {
		next, then, ok := all.Next(chosen)
		if !ok {
			break
		}
		chosen, x = append(chosen, next), then
	}
	ordered := all.Ordered(chosen)
	out := Points{}
	for n, x := range ordered.After {
		if x.Greatest <= small.Greatest && out.Enough == 0 {
			out.Enough = n + 2
		}
	}
	chosen = ordered.Indices
	if check, _, ok := all.Check(chosen); ok && len(chosen) < most {
		chosen = slices.Insert(chosen, max(0, min(out.Enough-1, len(chosen))), check)
	}
	out.Enough = min(out.Enough, len(chosen))
	out.List = listed(at, len(ink), chosen)
	out.AtJoints, err = l.atJoints(prior, at, chosen)
	return out, err
}

// listed returns the chosen of places, the first of which are ink.
func listed(at []weave.Place, ink int, chosen []int) (out []Point) {
	for _, i := range chosen {
		p := Point{at[i], i}
		if i >= ink {
			p.Ink = -1
		}
		out = append(out, p)
	}
	return out
}

// ofInk chooses of the ink alone, the first of the places, what makes the joints sure.
func (l Load) ofInk(prior cloth.Prior, at []weave.Place, ink, most int) ([]int, error) {
	joints := l.joints()
	if len(joints) == 0 || ink < 2 {
		return nil, nil
	}
	plan, err := cloth.NewPlanFor(l.Grid, prior, joints, at)
	if err != nil {
		return nil, err
	}
	var taken []int
	for range min(mostInk, ink, most-1) {
		next, then, ok := plan.NextOf(taken, ink)
		if !ok {
			break
		}
		taken = append(taken, next)
		if len(taken) > 3 && then.Greatest <= 1 {
			break
		}
	}
	return taken, nil
}

// atJoints is the error to expect at the joints with the points chosen, in channels.
func (l Load) atJoints(prior cloth.Prior, at []weave.Place, chosen []int) (float64, error) {
	joints := l.joints()
	if len(joints) == 0 || len(chosen) == 0 {
		return 0, nil
	}
	plan, err := cloth.NewPlanFor(l.Grid, prior, joints, at)
	if err != nil {
		return 0, err
	}
	return plan.Expect(chosen).Greatest * search.EnoughError, nil
}

// Over returns places all over the load.
func (l Load) Over() []weave.Place {
	return search.Over(l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max))
}

// joints are the joints as what a map should be right for, some of many.
func (l Load) joints() []cloth.Aim {
	const most = 24
	n := min(len(l.Meets), most)
	var out []cloth.Aim
	for i := range n {
		m := l.Meets[i*len(l.Meets)/n]
		out = append(out, cloth.Aim{Place: m.Place, Along: m.Along, Bound: search.EnoughError})
	}
	return out
}

// aims are the joints, and places all over the load.
func (l Load) aims() []cloth.Aim {
	out := l.joints()
	for _, p := range l.Over() {
		out = append(out, cloth.Aim{Place: p, Bound: search.EnoughOver})
	}
	return out
}

// threads are the crossings of channels that are offered: those nearest to a lattice over
// the load, but within it and not beside ink, by which the cloth is found more easily.
func (l Load) threads(ink []weave.Place) []weave.Place {
	const (
		steps   = 6
		fromInk = 4 // channels
	)
	lo, hi := l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max)
	within := func(v, lo, hi float64) float64 {
		return min(math.Floor(hi+1e-6), max(math.Ceil(lo-1e-6), math.Round(v))) + 0
	}
	var out []weave.Place
	for k := range steps + 1 {
		for i := range steps + 1 {
			u, v := float64(i)/steps, float64(k)/steps
			p := weave.Place{
				Across: within(lo.Across+u*(hi.Across-lo.Across), lo.Across, hi.Across),
				Along:  within(lo.Along+v*(hi.Along-lo.Along), lo.Along, hi.Along),
			}
			if !near(p, ink, fromInk, fromInk) && !near(p, out, 1, 1) {
				out = append(out, p)
			}
		}
	}
	return out
}
