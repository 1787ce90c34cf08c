package shape

import "weftplot/paths"

// Clip is what clip paths leave to be seen: the union of some shapes, within next.
// nil leaves everything.
type Clip struct {
	Shapes []ClipShape // what shows lies in one of these
	Next   *Clip       // and in this; nil for no more
}

// ClipShape is an area, itself perhaps within a clip of its own.
type ClipShape struct {
	Area   *Area
	Within *Clip // what shows of the area; nil for all
}

// Contains reports whether p shows through c and all that c stands within.
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
