package outline

import (
	"math"

	"weftplot/paths"
)

// Window is a part of the plane that fills are seen through: what its shapes open,
// and of that what lies in Next. nil is the whole plane.
type Window struct {
	Shapes []WindowShape // of those that hold a point the last decides; a point in none is hidden
	Next   *Window       // nil for no other
}

// WindowShape is a region, itself perhaps seen through a window.
type WindowShape struct {
	*Region
	Within *Window
	Hides  bool // nothing is seen through it
}

// Region is the inside of closed edges. One region may serve in many windows; it
// is known by its address.
type Region struct {
	// Edge bounds it, in mm. A stroke that does not end where it starts is closed
	// by a line.
	Edge []paths.Stroke
	// EvenOdd is the rule that tells the inside, as in [Fill].
	EvenOdd bool
}

// winder is an area that winds round points: that of a fill, or a region of a
// window.
type winder struct {
	evenOdd  bool
	from, to int   // its boundaries
	rank     int32 // the fill, or the highest fill that is seen through the region
	box      paths.Rect
	limit    paths.Rect // outside of it nothing of its boundary is seen
	areas    tree       // of its boundaries
	asked    int        // the number of the point that was last looked at for it
	inside   bool       // whether that point lies in it
	looks    int        // what was spent on rays through it
	turns    *turns     // made when rays have taken many looks
}

// window is a Window with its regions by their numbers among the winders.
type window struct {
	of       *Window
	shapes   []windowShape
	next     *window
	has      map[int]bool // every region that has a part in it
	box      paths.Rect   // nothing is seen through it outside; set by boxOf
	measured bool
}

type windowShape struct {
	winder int
	within *window
	hides  bool
}

// windowOf returns w with its regions numbered. The boundaries of a region are
// added when it is met first; they may be drawn if a fill seen through w is.
func (p *plane) windowOf(w *Window, drawn bool) *window {
	if w == nil {
		return nil
	}
	key := windowKey{w, drawn}
	if out, ok := p.windows[key]; ok {
		return out
	}
	out := &window{of: w, next: p.windowOf(w.Next, drawn), has: map[int]bool{}}
	p.windows[key] = out
	inherit := func(from *window) {
		if from != nil {
			p.budget -= len(from.has)
			for i := range from.has {
				out.has[i] = true
			}
		}
	}
	inherit(out.next)
	for _, s := range w.Shapes {
		k := windowShape{p.regionOf(s.Region, drawn), p.windowOf(s.Within, drawn), s.Hides}
		out.has[k.winder] = true
		inherit(k.within)
		out.shapes = append(out.shapes, k)
	}
	return out
}

type windowKey struct {
	*Window
	drawn bool
}

// regionOf returns the number of a region among the winders.
func (p *plane) regionOf(r *Region, drawn bool) int {
	at, ok := p.regions[r]
	if !ok {
		at = len(p.winders)
		w := winder{evenOdd: r.EvenOdd, rank: -1, from: len(p.boundaries)}
		for _, s := range r.Edge {
			p.addBoundary(s, at, false)
		}
		w.to = len(p.boundaries)
		p.winders = append(p.winders, w)
		p.regions[r] = at
	}
	if drawn {
		for i := p.winders[at].from; i < p.winders[at].to; i++ {
			p.boundaries[i].drawn = true
		}
	}
	return at
}

// measure returns the box outside of which nothing of a fill is seen, and notes it.
func (p *plane) measure(fill int) paths.Rect {
	w := &p.winders[fill]
	w.limit = common(w.box, p.boxOf(p.through[fill]))
	return w.limit
}

// boxOf returns the box outside of which nothing is seen through a window.
func (p *plane) boxOf(w *window) paths.Rect {
	if w == nil {
		return everywhere()
	}
	if !w.measured {
		w.measured, w.box = true, paths.EmptyRect()
		for _, s := range w.shapes {
			if !s.hides {
				w.box = w.box.Union(common(p.winders[s.winder].box, p.boxOf(s.within)))
			}
		}
		w.box = common(w.box, p.boxOf(w.next))
	}
	return w.box
}

// common returns the rectangle that two have in common; it may be empty.
func common(a, b paths.Rect) paths.Rect {
	return paths.Rect{
		Min: paths.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: paths.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// everywhere returns the box of the whole plane.
func everywhere() paths.Rect {
	return paths.RectOf(paths.Point{X: math.Inf(-1), Y: math.Inf(-1)}, paths.Point{X: math.Inf(1), Y: math.Inf(1)})
}

// isInside reports whether q, which is the point that is looked at, lies inside a winder.
func (p *plane) isInside(winder int, q paths.Point) bool {
	w := &p.winders[winder]
	if w.asked == p.asked {
		return w.inside
	}
	w.asked, w.inside = p.asked, false
	p.budget--
	if !w.box.Contains(q) {
		return false
	}
	turns := p.turnsRound(w, q)
	w.inside = turns != 0 && (!w.evenOdd || turns%2 != 0)
	return w.inside
}

// shows reports whether q, which is the point that is looked at, shows through a window.
func (p *plane) shows(w *window, q paths.Point) bool {
	for ; w != nil; w = w.next {
		shows := false
		for i := len(w.shapes) - 1; i >= 0; i-- {
			s := w.shapes[i]
			p.budget--
			if p.isInside(s.winder, q) && p.shows(s.within, q) {
				shows = !s.hides
				break
			}
		}
		if !shows {
			return false
		}
	}
	return true
}
