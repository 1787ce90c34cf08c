package svg

import (
	"strings"

	"weftplot/paths"
	"weftplot/paths/svg/css"
	"weftplot/paths/svg/lex"
	"weftplot/paths/svg/shape"
)

// transform returns the map that n sets for itself, in a viewport of the given view. One
// that is in error is noted and ignored.
func (r *reader) transform(n *node, v view) paths.Affine {
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
	box, ok := r.transformBox(n, v)
	o, read := parseOrigin(origin, box, v.em)
	if !ok || !read {
		r.notes.add(n, "transform-origin-not-read", "Its transform-origin %q is left out of account; it may lie elsewhere.", lex.Excerpt(origin))
		return m
	}
	return paths.Translate(o.Mul(-1)).Then(m).Then(paths.Translate(o))
}

// transformBox returns the box that the transform-origin of n refers to (CSS Transforms 1,
// 9): that of the viewport, or of what n draws. ok is false for one with the width of lines.
func (r *reader) transformBox(n *node, v view) (box paths.Rect, ok bool) {
	kind, _ := n.state.Property("transform-box")
	switch strings.ToLower(kind) {
	case "", "view-box":
		return paths.RectOf(paths.Point{}, paths.Point{X: v.w, Y: v.h}), true
	case "fill-box", "content-box":
		box = r.boxOf(n, paths.Identity(), v, 0)
		return box, !box.IsEmpty()
	}
	return box, false
}

// parseOrigin reads the origin of a transform (CSS Transforms 1, 8) in a box: one or two
// lengths, parts of the box or sides of it, in either order if they are sides. A third
// value, the depth, means nothing here.
func parseOrigin(text string, box paths.Rect, em float64) (paths.Point, bool) {
	f := strings.Fields(strings.ToLower(text))
	if len(f) == 3 {
		f = f[:2]
	}
	if len(f) == 1 {
		f = append(f, "center")
	}
	if len(f) != 2 {
		return paths.Point{}, false
	}
	across, along := map[string]float64{"left": 0, "center": 0.5, "right": 1}, map[string]float64{"top": 0, "center": 0.5, "bottom": 1}
	if _, ok := across[f[0]]; !ok {
		if _, swapped := along[f[0]]; swapped {
			f[0], f[1] = f[1], f[0]
		}
	} else if _, ok := across[f[1]]; ok && f[1] != "center" { // "center left"
		f[0], f[1] = f[1], f[0]
	}
	x, okX := originIn(f[0], across, box.Min.X, box.Width(), em)
	y, okY := originIn(f[1], along, box.Min.Y, box.Height(), em)
	return paths.Point{X: x, Y: y}, okX && okY
}

// originIn reads one value of an origin: a side, or a length from the side of the box.
func originIn(text string, sides map[string]float64, from, size, em float64) (float64, bool) {
	if part, ok := sides[text]; ok {
		return from + part*size, true
	}
	l, ok := css.ParseLength(text)
	return from + l.In(size, em), ok
}
