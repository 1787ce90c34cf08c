package parts

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// A Point is a place of the cloth to be found.
type Point struct {
	Name  string
	Place weave.Place
	// Thread tells a crossing of threads, counted, from a corner or a crossing of ink.
	Thread bool
}

// Found are the points to find for a load, in the order in which a person takes them.
type Found struct {
	Points []Point
	// After is the error to expect at the joints with earlier loads, in channels, once all
	// points are found; none where there are no joints.
	After []cloth.Expectation
}

// Finding says what there is to find for a load.
type Finding struct {
	Grid   weave.Grid
	Window paths.Rect
	// Ink is what is on the cloth by then, and Names what each line of it is called.
	Ink   []paths.Stroke
	Names []string
	// Meets are where lines of the load go on from that ink; none in the first load.
	Meets []cloth.Passage
	// Joints are those with any other load, in mm.
	Joints []paths.Point
}

// The noise of a person who steers with care, mm each way, and the error that is enough, in
// channels: 95 of 100 joints within the first and 95 of 100 cloths wholly within the second,
// at the joints, and within the third wherever the load draws.
const (
	noise         = 0.2
	usualError    = 0.12
	greatestError = 0.25
	windowError   = 0.3
)

// How many points are asked for at most: of ink where the load meets ink, and in all.
const (
	mostAtJoints = 10
	mostInAll    = 24
)

// Find chooses points by [cloth.Plan]: first ink that makes the joints surest, then ink and
// threads that make the whole window sure, so that lines stay in their channels far from
// the joints too. A person may stop as soon as the error to expect is small enough.
func Find(f Finding) Found {
	all := append(f.candidates(), f.threads()...)
	ink := 0
	for ink < len(all) && !all[ink].Thread {
		ink++
	}
	var at []weave.Place
	for _, p := range all {
		at = append(at, p.Place)
	}
	joints, along := f.meets()
	window, err := cloth.NewPlan(f.Grid, cloth.Prior{Noise: noise}, f.everywhere(), at)
	if err != nil {
		return Found{} // a window of no size
	}
	var taken []int
	if ink > 0 && len(joints) > 0 {
		if plan, err := cloth.NewPlan(f.Grid, cloth.Prior{Noise: noise}, joints, at[:ink]); err == nil {
			taken = plan.Choose(cloth.Bound{Greatest: greatestError, Usual: usualError}, mostAtJoints).Indices
		}
	}
	taken = f.fill(window, taken)
	var out Found
	for _, i := range taken {
		out.Points = append(out.Points, all[i])
	}
	if len(joints) > 0 {
		if plan, err := cloth.NewPlan(f.Grid, cloth.Prior{Noise: noise}, joints, at); err == nil {
			out.After = []cloth.Expectation{plan.ExpectAside(taken, along)}
		}
	}
	return out
}

// fill adds points until the window is sure, and one more that checks the others.
func (f Finding) fill(window cloth.Plan, taken []int) []int {
	for sure := false; len(taken) < leastPoints || len(taken) < mostInAll && !sure; {
		i, then, ok := window.Next(taken)
		if !ok {
			return taken
		}
		taken, sure = append(taken, i), then.Greatest <= windowError
	}
	if i, _, ok := window.Check(taken); ok {
		taken = append(taken, i)
	}
	return taken
}

// leastPoints show a bow whichever way it goes.
const leastPoints = 9

// everywhere are places where the load must be right: all over its window, and where it
// meets others, before and after it.
func (f Finding) everywhere() []weave.Place {
	var out []weave.Place
	for _, at := range some(f.Joints) {
		out = append(out, f.Grid.PlaceOf(at))
	}
	lo, hi := f.Grid.PlaceOf(f.Window.Min), f.Grid.PlaceOf(f.Window.Max)
	const n = 6
	for k := range n + 1 {
		for i := range n + 1 {
			out = append(out, weave.Place{Across: lo.Across + (hi.Across-lo.Across)*float64(i)/n, Along: lo.Along + (hi.Along-lo.Along)*float64(k)/n})
		}
	}
	return out
}

// some returns things, some of them where there are many.
func some[T any](all []T) []T {
	const most = 40
	var out []T
	n := min(len(all), most)
	for i := range n {
		out = append(out, all[i*len(all)/n])
	}
	return out
}

// meets returns the places and the directions of the lines that go on, some of them where
// there are many.
func (f Finding) meets() (at, along []weave.Place) {
	for _, m := range some(f.Meets) {
		at, along = append(at, m.Place), append(along, m.Along)
	}
	return at, along
}

// threads are crossings of guide threads over the window.
func (f Finding) threads() []Point {
	lo, hi := f.Grid.PlaceOf(f.Window.Min), f.Grid.PlaceOf(f.Window.Max)
	const n = 6
	at := func(a, b float64, i int) float64 {
		a, b = math.Ceil(a-1e-6), math.Floor(b+1e-6)
		return math.Round(a + (b-a)*float64(i)/n)
	}
	var out []Point
	for k := range n + 1 {
		for i := range n + 1 {
			p := weave.Place{Across: at(lo.Across, hi.Across, i), Along: at(lo.Along, hi.Along, k)}
			out = append(out, Point{fmt.Sprintf("thread %.0f across and thread %.0f along", p.Across, p.Along), p, true})
		}
	}
	return out
}

// candidates are the corners and crossings of ink in the window, those near to where the
// load meets ink first, no two so near that one is taken for the other.
func (f Finding) candidates() []Point {
	type candidate struct {
		Point
		at  paths.Point
		far float64
	}
	var all []candidate
	add := func(name string, at paths.Point) {
		const edge = 2 // mm: a person must see what is round the point
		if !f.Window.Grow(-edge).Contains(at) {
			return
		}
		far := math.Inf(1)
		for _, m := range f.Meets {
			far = min(far, f.Grid.At(m.Place).Dist(at))
		}
		all = append(all, candidate{Point{name, f.Grid.PlaceOf(at), false}, at, far})
	}
	f.corners(add)
	f.crossings(add)
	slices.SortStableFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X))
	})
	var out []Point
	// Where ink is dense only some of it is looked at, farther apart the farther it is.
	for _, apart := range []float64{4, 8, 16, 32, 64} {
		var at []paths.Point
		for _, c := range all {
			at = append(at, c.at)
		}
		_, kept := near.Leaders(at, apart, nil)
		out = nil
		for _, i := range kept {
			out = append(out, all[i].Point)
		}
		const most = 150
		if len(out) <= most {
			break
		}
	}
	return out
}

// leastTurn is the sine of the least angle at which lines make a corner or a crossing that
// a person can find.
const leastTurn = 0.35

// corners calls add with the corners of the ink.
func (f Finding) corners(add func(string, paths.Point)) {
	for k, s := range f.Ink {
		for i, c := range s {
			if i == 0 && !s.IsClosed() {
				continue
			}
			before := s[(i+len(s)-1)%len(s)]
			if math.Abs(before.Tangent(1).Cross(c.Tangent(0))) > leastTurn {
				add("corner of "+f.Names[k], c.Start())
			}
		}
	}
}

// crossings calls add with the places where lines of the ink cross or touch.
func (f Finding) crossings(add func(string, paths.Point)) {
	type piece struct {
		paths.Curve
		line int
	}
	var ink []piece
	for k, s := range f.Ink {
		for _, c := range s {
			if c.Bounds().Overlaps(f.Window) && c.Length() > 0 {
				ink = append(ink, piece{c, k})
			}
		}
	}
	cells := near.NewCells(f.Window, 20, len(ink), func(i int, put func(paths.Rect)) { put(ink[i].Bounds()) })
	for i, a := range ink {
		box := a.Bounds()
		seen := map[int32]bool{}
		y := box.Centre().Y
		cells.Along(paths.Point{X: box.Min.X, Y: y}, paths.Point{X: box.Max.X, Y: y}, box.Height()/2, func(items []int32) {
			for _, j := range items {
				if int(j) >= i || seen[j] {
					continue
				}
				seen[j] = true
				b := ink[j]
				for _, x := range paths.Crossings(a.Curve, b.Curve, 1e-6) {
					if a.line != b.line && plain(a.Curve, x.S, b.Curve, x.T) {
						add(crossingName(f.Names[a.line], f.Names[b.line]), a.At(x.S))
					}
				}
			}
		})
	}
}

// plain reports whether a person sees to a fraction of a channel where two lines meet: they
// run in the cloth's two directions, or are ends that make a corner.
func plain(a paths.Curve, s float64, b paths.Curve, t float64) bool {
	p, q := a.Tangent(s), b.Tangent(t)
	if math.Abs(p.Cross(q)) <= leastTurn {
		return false
	}
	atEnd := func(t float64) bool { return t < 1e-6 || t > 1-1e-6 }
	const straight = 0.02
	upright := func(d paths.Point) bool { return math.Abs(d.X) < straight }
	level := func(d paths.Point) bool { return math.Abs(d.Y) < straight }
	return upright(p) && level(q) || level(p) && upright(q) || atEnd(s) && atEnd(t)
}

func crossingName(a, b string) string {
	if a == b {
		return "crossing of " + a
	}
	return "crossing of " + min(a, b) + " and " + max(a, b)
}
