package panels

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// A finder collects the ink that can be found before a load.
type finder struct {
	plan Plan
	load int
}

// A run is a straight line of ink in a channel.
type run struct {
	channel int
	lo, hi  float64 // along it, in channels
	stroke  int
}

// atEdge is by how much a point may lie outside the window, in mm.
const atEdge = 0.1

// collect collects the ink of earlier loads within the window.
func (f *finder) collect() []Point {
	g, window := f.plan.opt.Grid, f.plan.Loads[f.load].Window.Grow(atEdge)
	var runs [2][]run // by weave.Axis
	var at []Point
	add := func(across, along int, name string) {
		p := Point{Name: name, Across: across, Along: along, At: g.At(weave.Place{Across: float64(across), Along: float64(along)})}
		if window.Contains(p.At) {
			at = append(at, p)
		}
	}
	for _, l := range f.plan.Loads[:f.load] {
		for _, part := range l.Parts {
			if part.Piece.Bounds().Overlaps(window) {
				f.runsOf(part, &runs)
				f.cornersOf(part, add)
			}
		}
	}
	f.crossings(runs, add)
	return thinned(at)
}

// runsOf adds the runs of a part.
func (f *finder) runsOf(part Part, runs *[2][]run) {
	g := f.plan.opt.Grid
	for _, c := range part.Piece {
		if !inChannel(c, g) {
			continue
		}
		a, b := g.PlaceOf(c.Start()), g.PlaceOf(c.End())
		if whole(a.Across) && math.Abs(a.Across-b.Across) < onWeave {
			runs[weave.Across] = append(runs[weave.Across], run{int(math.Round(a.Across)), min(a.Along, b.Along), max(a.Along, b.Along), part.Stroke})
		} else {
			runs[weave.Along] = append(runs[weave.Along], run{int(math.Round(a.Along)), min(a.Across, b.Across), max(a.Across, b.Across), part.Stroke})
		}
	}
}

// cornersOf calls add with the corners of a part that lie where channels cross.
func (f *finder) cornersOf(part Part, add func(across, along int, name string)) {
	g, s := f.plan.opt.Grid, part.Piece
	for i, c := range s {
		if i == 0 && !s.IsClosed() {
			continue
		}
		before := s[(i+len(s)-1)%len(s)]
		at := g.PlaceOf(c.Start())
		if whole(at.Across) && whole(at.Along) && isCorner(before, c) && inChannel(before, g) && inChannel(c, g) {
			add(int(math.Round(at.Across)), int(math.Round(at.Along)), "corner"+of(f.plan.strokes[part.Stroke].Name))
		}
	}
}

func of(name string) string {
	if name == "" {
		return ""
	}
	return " of " + name
}

// crossings calls add where runs cross or touch.
func (f *finder) crossings(runs [2][]run, add func(across, along int, name string)) {
	slices.SortStableFunc(runs[weave.Along], func(a, b run) int { return a.channel - b.channel })
	for _, v := range runs[weave.Across] {
		first, _ := slices.BinarySearchFunc(runs[weave.Along], v.lo-onWeave, func(r run, lo float64) int { return cmp.Compare(float64(r.channel), lo) })
		for _, h := range runs[weave.Along][first:] {
			if float64(h.channel) > v.hi+onWeave {
				break
			}
			if c := float64(v.channel); c >= h.lo-onWeave && c <= h.hi+onWeave && v.stroke != h.stroke {
				add(v.channel, h.channel, "crossing"+ofBoth(f.plan.strokes[v.stroke].Name, f.plan.strokes[h.stroke].Name))
			}
		}
	}
}

func ofBoth(a, b string) string {
	switch {
	case a == b || b == "":
		return of(a)
	case a == "":
		return of(b)
	}
	return " of " + min(a, b) + " and " + max(a, b)
}

// mostCandidates bounds how many points of ink are looked at for a load.
const mostCandidates = 120

// thinned returns points one at a place, spread out where there are many.
func thinned(points []Point) []Point {
	slices.SortStableFunc(points, func(a, b Point) int {
		if a.Along != b.Along {
			return a.Along - b.Along
		}
		return a.Across - b.Across
	})
	points = slices.CompactFunc(points, func(a, b Point) bool { return a.Across == b.Across && a.Along == b.Along })
	at := make([]paths.Point, len(points))
	for i, p := range points {
		at[i] = p.At
	}
	var out []Point
	for _, i := range spreadOut(at, mostCandidates) {
		out = append(out, points[i])
	}
	return out
}

// spreadOut returns the numbers of points, or of so many that lie well apart: the leaders
// at the least of some distances that leaves no more.
func spreadOut(at []paths.Point, most int) []int {
	all := make([]int, len(at))
	for i := range all {
		all[i] = i
	}
	for apart := paths.RectOf(at...).Width()/100 + 1; len(all) > most; apart *= 1.25 {
		_, all = near.Leaders(at, apart, nil)
	}
	return all
}

// whereIn says in which part of a window a point lies.
func whereIn(w paths.Rect, at paths.Point) string {
	third := func(v, lo, hi float64, names [3]string) string {
		return names[min(2, max(0, int(3*(v-lo)/(hi-lo))))]
	}
	y := third(at.Y, w.Min.Y, w.Max.Y, [3]string{"lower", "middle", "upper"})
	x := third(at.X, w.Min.X, w.Max.X, [3]string{"left", "centre", "right"})
	return y + " " + x
}
