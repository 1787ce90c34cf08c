package svg

import (
	"strings"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// transform returns the map that n sets for itself. One that is in error is
// noted and ignored.
func (r *reader) transform(n *node) paths.Affine {
	text, ok := n.state.Property("transform")
	if !ok {
		text, ok = n.lookup("transform")
	}
	if !ok || text == "none" {
		return paths.Identity()
	}
	m, err := shape.ParseTransform(text)
	if err != nil {
		r.notes.add(n, "transform-unreadable", "Its transform is left out of account: %v.", err)
	}
	origin, given := n.state.Property("transform-origin")
	if !given {
		return m
	}
	o, ok := parseOrigin(origin)
	if !ok {
		r.notes.add(n, "transform-origin-not-read", "Its transform-origin %q is left out of account; it may lie elsewhere.", lex.Excerpt(origin))
		return m
	}
	return paths.Translate(o.Mul(-1)).Then(m).Then(paths.Translate(o))
}

// parseOrigin reads the origin of a transform (CSS Transforms 1, 8), if it does
// not depend on a size.
func parseOrigin(text string) (paths.Point, bool) {
	f := strings.Fields(text)
	if len(f) != 2 {
		return paths.Point{}, false
	}
	var at [2]float64
	for i, s := range f {
		l, ok := css.ParseLength(s)
		switch {
		case s == "left" && i == 0 || s == "top" && i == 1: // the corner
		case !ok || l.IsRelative():
			return paths.Point{}, false
		default:
			at[i] = l.In(0, 0)
		}
	}
	return paths.Point{X: at[0], Y: at[1]}, true
}
