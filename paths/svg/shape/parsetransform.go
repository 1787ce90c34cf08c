package shape

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
)

// ParseTransform reads a list of transforms, in the syntax of an attribute or
// of a style property (SVG 2, Coordinate systems; CSS Transforms 1). The first
// of the list is applied last.
func ParseTransform(text string) (paths.Affine, error) {
	m := paths.Identity()
	s := lex.Scanner{Text: text}
	for s.Space(); !s.Done(); s.Comma() {
		from := s.At
		for lex.IsLetter(s.Peek()) || lex.IsDigit(s.Peek()) {
			s.At++
		}
		name := s.Text[from:s.At]
		s.Space()
		if s.Peek() != '(' {
			return paths.Identity(), fmt.Errorf("%q is no list of transforms", lex.Excerpt(text))
		}
		s.At++
		args, err := arguments(&s)
		if err != nil {
			return paths.Identity(), err
		}
		one, ok := transformOf(name, args)
		if !ok {
			return paths.Identity(), fmt.Errorf("%s with %d numbers is no transform", lex.Excerpt(name), len(args))
		}
		m = one.Then(m)
	}
	return m, nil
}

// arguments reads numbers, with their units where a style has them, up to the
// closing bracket. Angles are returned in degrees.
func arguments(s *lex.Scanner) ([]float64, error) {
	var args []float64
	for s.Space(); s.Peek() != ')'; s.Comma() {
		v, ok := s.Number()
		if !ok || !lex.Finite(v) || len(args) == 6 {
			return nil, fmt.Errorf("at byte %d of the transform stands no number that is wanted", s.At+1)
		}
		from := s.At
		for lex.IsLetter(s.Peek()) || s.Peek() == '%' {
			s.At++
		}
		k, ok := argumentUnits[strings.ToLower(s.Text[from:s.At])]
		if !ok {
			return nil, fmt.Errorf("the unit %q is not read in a transform", lex.Excerpt(s.Text[from:s.At]))
		}
		args = append(args, v*k)
	}
	s.At++
	return args, nil
}

var argumentUnits = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96. / 72, "pc": 16,
	"deg": 1, "grad": 0.9, "rad": 180 / math.Pi, "turn": 360,
}

// transformOf returns the map of one transform function.
func transformOf(name string, a []float64) (paths.Affine, bool) {
	f, known := transforms[strings.ToLower(name)]
	if !known || !slices.Contains(f.takes, len(a)) {
		return paths.Affine{}, false
	}
	return f.of(a), true
}

// transforms is the map of each transform function, and how many numbers it
// takes (CSS Transforms 1, 12; SVG 1.1, 7.6). Angles are in degrees.
var transforms = map[string]struct {
	takes []int
	of    func(a []float64) paths.Affine
}{
	"matrix": {[]int{6}, func(a []float64) paths.Affine {
		return paths.Affine{A: a[0], B: a[1], C: a[2], D: a[3], E: a[4], F: a[5]}
	}},
	"translate":  {[]int{1, 2}, func(a []float64) paths.Affine { return paths.Translate(paths.Point{X: a[0], Y: second(a, 0)}) }},
	"translatex": {[]int{1}, func(a []float64) paths.Affine { return paths.Translate(paths.Point{X: a[0]}) }},
	"translatey": {[]int{1}, func(a []float64) paths.Affine { return paths.Translate(paths.Point{Y: a[0]}) }},
	"scale":      {[]int{1, 2}, func(a []float64) paths.Affine { return paths.Scale(a[0], second(a, a[0])) }},
	"scalex":     {[]int{1}, func(a []float64) paths.Affine { return paths.Scale(a[0], 1) }},
	"scaley":     {[]int{1}, func(a []float64) paths.Affine { return paths.Scale(1, a[0]) }},
	"rotate":     {[]int{1, 3}, rotation},
	"skewx":      {[]int{1}, func(a []float64) paths.Affine { return paths.Affine{A: 1, C: math.Tan(a[0] * math.Pi / 180), D: 1} }},
	"skewy":      {[]int{1}, func(a []float64) paths.Affine { return paths.Affine{A: 1, B: math.Tan(a[0] * math.Pi / 180), D: 1} }},
}

// second returns the second of one or two numbers, or otherwise.
func second(a []float64, otherwise float64) float64 {
	if len(a) > 1 {
		return a[1]
	}
	return otherwise
}

// rotation turns by a[0] degrees about the point that follows, or the origin.
func rotation(a []float64) paths.Affine {
	sin, cos := Turn(a[0])
	var c paths.Point
	if len(a) == 3 {
		c = paths.Point{X: a[1], Y: a[2]}
	}
	about := paths.Affine{A: cos, B: sin, C: -sin, D: cos}
	return paths.Translate(c.Mul(-1)).Then(about).Then(paths.Translate(c))
}
