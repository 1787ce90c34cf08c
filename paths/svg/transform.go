package svg

import (
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
)

// parseTransform reads a list of transforms as an attribute or a style
// property has it (SVG 2, Coordinate systems; CSS Transforms 1). The first of
// the list is applied last.
func parseTransform(text string) (paths.Affine, error) {
	m := paths.Identity()
	s := scan{s: text}
	for s.space(); !s.done(); s.comma() {
		from := s.i
		for isLetter(s.peek()) || isDigit(s.peek()) {
			s.i++
		}
		name := s.s[from:s.i]
		s.space()
		if s.peek() != '(' {
			return paths.Identity(), fmt.Errorf("%q is no list of transforms", excerpt(text))
		}
		s.i++
		args, err := s.arguments()
		if err != nil {
			return paths.Identity(), err
		}
		one, ok := transformOf(name, args)
		if !ok {
			return paths.Identity(), fmt.Errorf("%s with %d numbers is no transform", excerpt(name), len(args))
		}
		m = one.Then(m)
	}
	return m, nil
}

// arguments reads numbers, with their units where a style has them, up to the
// closing bracket. Angles come out in degrees.
func (s *scan) arguments() ([]float64, error) {
	var args []float64
	for s.space(); s.peek() != ')'; s.comma() {
		v, ok := s.number()
		if !ok || !finite(v) || len(args) == 6 {
			return nil, fmt.Errorf("at byte %d of the transform stands no number that is wanted", s.i+1)
		}
		from := s.i
		for isLetter(s.peek()) || s.peek() == '%' {
			s.i++
		}
		k, ok := argumentUnits[strings.ToLower(s.s[from:s.i])]
		if !ok {
			return nil, fmt.Errorf("the unit %q is not read in a transform", excerpt(s.s[from:s.i]))
		}
		args = append(args, v*k)
	}
	s.i++
	return args, nil
}

var argumentUnits = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96. / 72, "pc": 16,
	"deg": 1, "grad": 0.9, "rad": 180 / math.Pi, "turn": 360,
}

// transformOf returns the map of one transform function.
func transformOf(name string, a []float64) (paths.Affine, bool) {
	opt := func(i int, def float64) float64 {
		if i < len(a) {
			return a[i]
		}
		return def
	}
	n := len(a)
	switch strings.ToLower(name) {
	case "matrix":
		if n == 6 {
			return paths.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}, true
		}
	case "translate":
		if n == 1 || n == 2 {
			return paths.Translate(paths.Point{X: a[0], Y: opt(1, 0)}), true
		}
	case "translatex":
		if n == 1 {
			return paths.Translate(paths.Point{X: a[0]}), true
		}
	case "translatey":
		if n == 1 {
			return paths.Translate(paths.Point{Y: a[0]}), true
		}
	case "scale":
		if n == 1 || n == 2 {
			return paths.Scale(a[0], opt(1, a[0])), true
		}
	case "scalex":
		if n == 1 {
			return paths.Scale(a[0], 1), true
		}
	case "scaley":
		if n == 1 {
			return paths.Scale(1, a[0]), true
		}
	case "rotate":
		if n == 1 || n == 3 {
			sin, cos := turn(a[0])
			c := paths.Point{X: opt(1, 0), Y: opt(2, 0)}
			about := paths.Affine{A: cos, B: sin, C: -sin, D: cos}
			return paths.Translate(c.Mul(-1)).Then(about).Then(paths.Translate(c)), true
		}
	case "skewx":
		if n == 1 {
			return paths.Affine{A: 1, C: math.Tan(a[0] * math.Pi / 180), D: 1}, true
		}
	case "skewy":
		if n == 1 {
			return paths.Affine{A: 1, B: math.Tan(a[0] * math.Pi / 180), D: 1}, true
		}
	}
	return paths.Affine{}, false
}

// transform returns the map that n sets for itself, and notes one in error,
// which does not count.
func (r *reader) transform(n *node) paths.Affine {
	text, ok := n.prop("transform")
	if !ok {
		text, ok = n.lookup("transform")
	}
	if !ok || text == "none" {
		return paths.Identity()
	}
	m, err := parseTransform(text)
	if err != nil {
		r.notes.add(n, "transform-unreadable", "Its transform is left out of account: %v.", err)
	}
	origin, given := n.prop("transform-origin")
	if !given {
		return m
	}
	o, ok := parseOrigin(origin)
	if !ok {
		r.notes.add(n, "transform-origin-not-read", "Its transform-origin %q is left out of account; it may lie elsewhere.", excerpt(origin))
		return m
	}
	return paths.Translate(o.Mul(-1)).Then(m).Then(paths.Translate(o))
}

// parseOrigin reads the point about which a transform is taken (CSS Transforms
// 1, 8), where it does not depend on a size.
func parseOrigin(text string) (paths.Point, bool) {
	f := strings.Fields(text)
	if len(f) != 2 {
		return paths.Point{}, false
	}
	var at [2]float64
	for i, s := range f {
		l, ok := parseLength(s)
		switch {
		case s == "left" && i == 0 || s == "top" && i == 1: // the corner
		case !ok || relativeUnits[l.unit] || l.percent != 0 || l.em != 0:
			return paths.Point{}, false
		default:
			at[i] = l.in(0, 0)
		}
	}
	return paths.Point{X: at[0], Y: at[1]}, true
}

// excerpt cuts a text from a file short enough for a message.
func excerpt(s string) string {
	s = strings.Join(strings.Fields(s[:min(len(s), 200)]), " ")
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
