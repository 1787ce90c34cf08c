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
	// After is the error to expect at the joints, in channels, after each point.
	After []cloth.Expectation
}

// Finding says what there is to find for a load.
type Finding struct {
	Grid   weave.Grid
	Window paths.Rect
	// Ink is what is on the cloth by then, and Names what each line of it is called.
	Ink   []paths.Stroke
	Names []string
	// Meets are the places, in mm, where the load meets that ink; none in the first load.
	Meets []paths.Point
	// Threads lets threads be counted too: only where the ink lies on them.
	Threads bool
}

// The noise of a person who steers with care, mm each way, and the error that is enough:
// 95 of 100 joints within the first, and 95 of 100 cloths wholly within the second.
const (
	noise       = 0.2
	usualError  = 0.12
	greatestAny = 0.25
)

// How many points are asked for at most: where the load meets ink, and by threads where it
// lies far from any.
const (
	mostAtJoints = 18
	mostThreads  = 8
)

// Find chooses points: those of ink that make the joints surest, by [cloth.Plan] one after
// the other, one more that checks them, and, where threads may be counted, some for the
// rest of the window. It returns none where there are too few to find anything by.
func Find(f Finding) Found {
	ink := f.candidates()
	threads := f.threads()
	var out Found
	if len(f.Meets) > 0 {
		out = f.choose(ink, f.grid(f.Meets), cloth.Bound{Greatest: greatestAny, Usual: usualError}, mostAtJoints, true)
		if len(out.Points) < 4 {
			out = Found{}
		}
		if !f.Threads {
			return out
		}
	}
	if f.Threads || len(f.Meets) == 0 {
		rest := f.overall(out, threads)
		out.Points = append(out.Points, rest...)
	}
	return out
}

// grid returns places in mm as places of the weave, some of them where there are many.
func (f Finding) grid(at []paths.Point) []weave.Place {
	const most = 60
	var out []weave.Place
	for i := range min(len(at), most) {
		out = append(out, f.Grid.PlaceOf(at[i*len(at)/min(len(at), most)]))
	}
	return out
}

// choose takes points for the error at places.
func (f Finding) choose(from []Point, places []weave.Place, bound cloth.Bound, most int, check bool) Found {
	var at []weave.Place
	for _, p := range from {
		at = append(at, p.Place)
	}
	plan, err := cloth.NewPlan(f.Grid, cloth.Prior{Noise: noise}, places, at)
	if err != nil {
		return Found{} // too few, or all on one line
	}
	chosen := plan.Choose(bound, most)
	out := Found{After: chosen.After}
	for _, i := range chosen.Indices {
		out.Points = append(out.Points, from[i])
	}
	if i, _, ok := plan.Check(chosen.Indices); ok && check && len(out.Points) > 0 {
		out.Points = append(out.Points, from[i])
		out.After = append(out.After, plan.Expect(append(slices.Clone(chosen.Indices), i)))
	}
	return out
}

// overall chooses threads for the whole window, with what was chosen before.
func (f Finding) overall(before Found, threads []Point) []Point {
	var at []weave.Place
	for _, p := range slices.Concat(before.Points, threads) {
		at = append(at, p.Place)
	}
	var places []weave.Place
	for _, p := range threads {
		places = append(places, p.Place)
	}
	plan, err := cloth.NewPlan(f.Grid, cloth.Prior{Noise: noise}, places, at)
	if err != nil {
		return nil
	}
	var taken []int
	for i := range before.Points {
		taken = append(taken, i)
	}
	most := mostThreads
	if len(taken) == 0 {
		most = 2 * mostThreads
	}
	var out []Point
	for range most {
		i, _, ok := plan.Next(taken)
		if !ok {
			break
		}
		if taken = append(taken, i); i >= len(before.Points) {
			out = append(out, threads[i-len(before.Points)])
		}
	}
	return out
}

// threads are crossings of guide threads over the window.
func (f Finding) threads() []Point {
	lo, hi := f.Grid.PlaceOf(f.Window.Min), f.Grid.PlaceOf(f.Window.Max)
	const n = 4
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
			far = min(far, m.Dist(at))
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
					if math.Abs(a.Tangent(x.S).Cross(b.Tangent(x.T))) > leastTurn && a.line != b.line {
						add(crossingName(f.Names[a.line], f.Names[b.line]), a.At(x.S))
					}
				}
			}
		})
	}
}

func crossingName(a, b string) string {
	if a == b {
		return "crossing of " + a
	}
	return "crossing of " + min(a, b) + " and " + max(a, b)
}
