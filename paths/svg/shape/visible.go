package shape

import "weftplot/paths"

// Clip is the area that clip paths let show: the union of some shapes, within
// Next. nil shows everything.
type Clip struct {
	Shapes []ClipShape // a point that shows lies in one of these
	Next   *Clip       // and also in this clip; nil for no other
}

// ClipShape is an area, itself perhaps within a clip of its own.
type ClipShape struct {
	Area   *Area
	Within *Clip // the part of the area that shows; nil for all
}

// Uniform reports whether no edge of the clip comes near the box, so that all of
// it shows or nothing.
func (c *Clip) Uniform(box paths.Rect) bool {
	uniform := true
	c.Areas(func(a *Area) {
		reach := box.Grow(a.near)
		if uniform && a.box.Overlaps(reach) {
			a.eachNear(reach.Min.Y, reach.Max.Y, func(e edge) {
				uniform = uniform && !reach.Overlaps(paths.RectOf(e.a, e.b))
			})
		}
	})
	return uniform
}

// Contains reports whether p shows through c and every clip that c is within.
func (c *Clip) Contains(p paths.Point) bool {
	for ; c != nil; c = c.Next {
		found := false
		for _, s := range c.Shapes {
			if s.Area.contains(p) && s.Within.Contains(p) {
				found = true
				break
			}
		}
		if !found {
			return false
		}
	}
	return true
}

// Areas calls f with every area that has a part in c.
func (c *Clip) Areas(f func(*Area)) {
	for ; c != nil; c = c.Next {
		for _, s := range c.Shapes {
			f(s.Area)
			s.Within.Areas(f)
		}
	}
}
