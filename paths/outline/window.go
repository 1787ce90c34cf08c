package outline

import "weftplot/paths"

// Window is a part of the plane that fills are seen through: what its shapes open,
// within Next. nil is the whole plane.
type Window struct {
	Shapes []WindowShape // of those that a point lies in, the last decides; in none it is hidden
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
	evenOdd bool
	turns   int32 // round the point that is looked at
}

func (w winder) isInside() bool { return w.turns != 0 && (!w.evenOdd || w.turns%2 != 0) }

// window is a Window with its regions by their numbers among the winders.
type window struct {
	shapes []windowShape
	next   *window
	has    map[int]bool // every region that has a part in it
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
	out := &window{next: p.windowOf(w.Next, drawn), has: map[int]bool{}}
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
		at = numbered{winder: len(p.winders), from: len(p.boundaries)}
		p.winders = append(p.winders, winder{evenOdd: r.EvenOdd})
		for _, s := range r.Edge {
			p.addBoundary(s, at.winder, false)
		}
		at.to = len(p.boundaries)
		p.regions[r] = at
	}
	if drawn {
		for i := at.from; i < at.to; i++ {
			p.boundaries[i].drawn = true
		}
	}
	return at.winder
}

// numbered is a region by its number among the winders, and its boundaries.
type numbered struct{ winder, from, to int }

// shows reports whether the point that the winders have wound round shows.
func (p *plane) shows(w *window) bool {
	for ; w != nil; w = w.next {
		shows := false
		for i := len(w.shapes) - 1; i >= 0; i-- {
			s := w.shapes[i]
			p.budget--
			if p.winders[s.winder].isInside() && p.shows(s.within) {
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
