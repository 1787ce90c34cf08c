package shape

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/svg/lex"
)

// operands returns how many numbers a command of path data takes; known is false for
// a letter that is none.
func operands(upper byte) (n int, known bool) {
	switch upper {
	case 'Z':
		return 0, true
	case 'H', 'V':
		return 1, true
	case 'M', 'L', 'T':
		return 2, true
	case 'S', 'Q':
		return 4, true
	case 'C':
		return 6, true
	case 'A':
		return 7, true
	}
	return 0, false
}

// pathScan draws path data. The scanner is our own because line work needs what
// other scanners do not keep: the part before an error, subpaths without
// length, and the arcs as written.
type pathScan struct {
	lex.Scanner
	pen *Pen
	// cubic and quad are the last control points, for the smooth commands; they
	// count only right after a command of their own kind.
	cubic, quad       paths.Point
	hadCubic, hadQuad bool
}

// DrawPath draws path data with the pen (SVG 2, Paths). After an error what
// comes before it is drawn, within a command up to its last whole set of
// numbers (SVG 2, Paths, error handling); the error says what is wrong and
// where.
func DrawPath(d string, p *Pen) error {
	s := pathScan{Scanner: lex.Scanner{Text: d}, pen: p}
	defer p.End()
	for first := true; ; first = false {
		s.Space()
		if s.Done() || p.Spent() {
			return nil
		}
		c := s.Peek()
		upper := c &^ 0x20
		if _, known := operands(upper); !known || !lex.IsLetter(c) {
			return fmt.Errorf("at byte %d stands %q where a command is wanted", s.At+1, string(rune(c)))
		}
		if first && upper != 'M' {
			return fmt.Errorf("it begins with %q and not with a move", string(rune(c)))
		}
		s.At++
		if err := s.command(c, upper); err != nil {
			return err
		}
	}
}

// command reads the sets of numbers after a command, and draws each.
func (s *pathScan) command(c, upper byte) error {
	relative := c != upper
	if upper == 'Z' {
		s.pen.Close()
		s.hadCubic, s.hadQuad = false, false
		return nil
	}
	s.Space()
	takes, _ := operands(upper)
	for {
		var v [7]float64
		if err := s.set(c, v[:takes]); err != nil {
			return err
		}
		s.draw(upper, relative, v)
		if upper == 'M' {
			upper = 'L'
		}
		if s.pen.Spent() {
			return nil
		}
		mark := s.At
		comma := s.Comma()
		if !s.AtNumber() {
			if comma {
				return fmt.Errorf("at byte %d stands a comma with no number after it", mark+1)
			}
			return nil
		}
	}
}

// set reads one set of numbers.
func (s *pathScan) set(c byte, v []float64) error {
	for i := range v {
		if i > 0 {
			s.Comma()
		}
		ok := false
		if len(v) == 7 && (i == 3 || i == 4) {
			var on bool
			if on, ok = s.Flag(); on {
				v[i] = 1
			}
		} else {
			v[i], ok = s.Number()
		}
		if !ok {
			return fmt.Errorf("at byte %d number %d of the %d that %q takes is missing", s.At+1, i+1, len(v), string(rune(c)))
		}
	}
	return nil
}

// draw draws one segment and keeps its control point for a smooth one to come.
func (s *pathScan) draw(upper byte, relative bool, v [7]float64) {
	p, at := s.pen, s.pen.at
	var base paths.Point
	if relative {
		base = at
	}
	pt := func(i int) paths.Point { return base.Add(paths.Point{X: v[i], Y: v[i+1]}) }
	hadCubic, hadQuad := s.hadCubic, s.hadQuad
	s.hadCubic, s.hadQuad = upper == 'C' || upper == 'S', upper == 'Q' || upper == 'T'
	switch upper {
	case 'M':
		p.MoveTo(pt(0))
	case 'L':
		p.LineTo(pt(0))
	case 'H':
		p.LineTo(paths.Point{X: base.X + v[0], Y: at.Y})
	case 'V':
		p.LineTo(paths.Point{X: at.X, Y: base.Y + v[0]})
	case 'C':
		s.cubic = pt(2)
		p.CubicTo(pt(0), pt(2), pt(4))
	case 'S':
		c := mirrored(at, s.cubic, hadCubic)
		s.cubic = pt(0)
		p.CubicTo(c, pt(0), pt(2))
	case 'Q':
		s.quad = pt(0)
		p.QuadTo(pt(0), pt(2))
	case 'T':
		s.quad = mirrored(at, s.quad, hadQuad)
		p.QuadTo(s.quad, pt(0))
	case 'A':
		p.ArcTo(v[0], v[1], v[2], v[3] == 1, v[4] == 1, pt(5))
	}
}

// mirrored returns the reflection of the control point c in at, or at itself
// when the segment before was of another kind.
func mirrored(at, c paths.Point, had bool) paths.Point {
	if !had {
		return at
	}
	return at.Mul(2).Sub(c)
}
