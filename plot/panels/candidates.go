package panels

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// A finder collects what can be found before a load.
type finder struct {
	plan         Plan
	load         int
	opt          PointOptions
	ink, threads []Point
}

// A run is a straight line of ink in a channel.
type run struct {
	channel int
	lo, hi  float64 // along it, in channels
	stroke  int
}

// atEdge is by how much a point may lie outside the window, in mm.
const atEdge = 0.1

// collect collects the ink of earlier loads and the threads within the window.
func (f *finder) collect() {
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
	f.ink = thinned(at)
	f.countThreads(window)
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

// fromInk is how far from ink a thread is counted at least, in channels: nearer by the ink
// is found more easily.
const fromInk = 8

// countThreads lists crossings of channels whose numbers are tens, fewer in a large window.
func (f *finder) countThreads(window paths.Rect) {
	g := f.plan.opt.Grid
	lo, hi := g.PlaceOf(window.Min), g.PlaceOf(window.Max)
	step := func(lo, hi float64) int { return 10 * int(math.Ceil((hi-lo)/10/12)) }
	dx, dy := step(lo.Across, hi.Across), step(lo.Along, hi.Along)
	for y := int(math.Ceil(lo.Along/float64(dy))) * dy; float64(y) <= hi.Along; y += dy {
		for x := int(math.Ceil(lo.Across/float64(dx))) * dx; float64(x) <= hi.Across; x += dx {
			at := g.At(weave.Place{Across: float64(x), Along: float64(y)})
			if slices.ContainsFunc(f.ink, func(q Point) bool { return max(abs(q.Across-x), abs(q.Along-y)) < fromInk }) {
				continue
			}
			f.threads = append(f.threads, Point{Across: x, Along: y, Thread: true, At: at})
		}
	}
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

// name gives points their names: what they are, where in the load, and a number.
func (f *finder) name(list []Point) {
	window := f.plan.Loads[f.load].Window
	for i := range list {
		p := &list[i]
		what := p.Name
		if p.Thread {
			what = f.counted(*p)
		}
		p.Name = fmt.Sprintf("%d: %s, %s", i+1, what, whereIn(window, p.At))
	}
}

// counted says how to count to a thread.
func (f *finder) counted(p Point) string {
	from, what := Point{}, "the lower left corner of the drawing"
	least := math.Inf(1)
	for _, q := range f.ink {
		if d := q.At.Dist(p.At); d < least {
			from, what, least = q, "a "+q.Name, d
		}
	}
	return fmt.Sprintf("thread %s and %s from %s", way(p.Across-from.Across, "right", "left"), way(p.Along-from.Along, "up", "down"), what)
}

func abs(n int) int { return max(n, -n) }

func way(n int, more, less string) string {
	if n < 0 {
		n, more = -n, less
	}
	return fmt.Sprintf("%d %s", n, more)
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
