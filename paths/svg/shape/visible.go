package shape

import "weftplot/paths"

// Clip is the area that clip paths and masks let show: what its shapes show, within
// Next. nil shows everything.
type Clip struct {
	Shapes []ClipShape // of those that a point lies in, the last decides; in none it is hidden
	Next   *Clip       // and it must show in this clip too; nil for no other
}

// ClipShape is an area, itself perhaps within a clip of its own.
type ClipShape struct {
	Area   *Area
	Within *Clip // the part of the area that counts; nil for all
	Hides  bool  // what lies in it is hidden, as under black in a mask
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

// Contains reports whether p shows through c and every clip that c is within. A line
// along the edge of what shows is seen.
func (c *Clip) Contains(p paths.Point) bool { return c.contains(p, true) }

// contains is Contains; rim says whether the edge belongs to the side that shows.
func (c *Clip) contains(p paths.Point, rim bool) bool {
	for ; c != nil; c = c.Next {
		shows := false
		for i := len(c.Shapes) - 1; i >= 0; i-- {
			if s := c.Shapes[i]; s.Area.contains(p, rim != s.Hides) && s.Within.contains(p, rim != s.Hides) {
				shows = !s.Hides
				break
			}
		}
		if !shows {
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
