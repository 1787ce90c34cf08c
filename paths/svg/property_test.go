package svg

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
	_ "weftplot/paths/samecases"
)

// ellipticalArc is an arc by its centre, as SVG 2, Implementation notes,
// "Elliptical arc parameterization alternatives", defines it.
type ellipticalArc struct {
	cx, cy, rx, ry, degrees, from, sweep float64
}

func (a ellipticalArc) at(angle float64) paths.Point {
	sin, cos := math.Sincos(a.degrees * math.Pi / 180)
	x, y := a.rx*math.Cos(angle), a.ry*math.Sin(angle)
	return paths.Point{X: cos*x - sin*y + a.cx, Y: sin*x + cos*y + a.cy}
}

// An arc written by its ends is read back as the arc about its centre.
func TestArcsByEndsAndByCentre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		a := ellipticalArc{
			cx: num(-50, 50, "cx"), cy: num(-50, 50, "cy"), rx: num(0.5, 80, "rx"), degrees: num(-400, 400, "turn"),
			from: num(0, 6.28, "from"), sweep: num(0.05, 6.2, "sweep"),
		}
		a.ry = a.rx
		if rapid.Bool().Draw(t, "oval") {
			a.ry = num(0.5, 80, "ry")
		}
		if rapid.Bool().Draw(t, "back") {
			a.sweep = -a.sweep
		}
		if d := math.Abs(math.Abs(a.sweep) - math.Pi); d < 1e-3 {
			t.Skip("a half turn: its large flag says nothing")
		}
		flag := func(on bool) int {
			if on {
				return 1
			}
			return 0
		}
		p, q := a.at(a.from), a.at(a.from+a.sweep)
		d, err := Read("", []byte(inPage(fmt.Sprintf(`<path fill="none" stroke="red" d="M%v,%vA%v,%v %v %d%d%v,%v"/>`,
			p.X, p.Y, a.rx, a.ry, a.degrees, flag(math.Abs(a.sweep) > math.Pi), flag(a.sweep > 0), q.X, q.Y))), Options{})
		if err != nil {
			t.Fatal(err)
		}
		s := d.Strokes()[0]
		if _, isArc := s[0].(paths.Arc); isArc != (a.rx == a.ry) {
			t.Fatalf("a circle is to be an arc, an ellipse not: %T", s[0])
		}
		var truth []paths.Point
		for i := range 401 {
			p := a.at(a.from + a.sweep*float64(i)/400)
			truth = append(truth, paths.Point{X: p.X, Y: 100 - p.Y})
		}
		// Chords of a four-hundredth of the arc stray by r·(2π/400)²/8 = 3.1e-5·r.
		tol := 0.001 + 4e-5*max(a.rx, a.ry)
		if far := deviation.Apart(s, paths.Polyline(truth...), tol/2); far > 2*tol {
			t.Fatalf("%+v is drawn %v mm off", a, far)
		}
	})
}

// randomShape draws a shape element without a transform.
func randomShape(t *rapid.T) string {
	n := func() string { return fmt.Sprintf("%.3f", rapid.Float64Range(-60, 60).Draw(t, "n")) }
	u := func() string { return fmt.Sprintf("%.3f", rapid.Float64Range(0.1, 60).Draw(t, "u")) }
	switch rapid.IntRange(0, 4).Draw(t, "shape") {
	case 0:
		return fmt.Sprintf(`<rect x="%s" y="%s" width="%s" height="%s" rx="%s"`, n(), n(), u(), u(), u())
	case 1:
		return fmt.Sprintf(`<ellipse cx="%s" cy="%s" rx="%s" ry="%s"`, n(), n(), u(), u())
	case 2:
		return fmt.Sprintf(`<circle cx="%s" cy="%s" r="%s"`, n(), n(), u())
	}
	var b strings.Builder
	b.WriteString(`<path d="M` + n() + " " + n())
	for range rapid.IntRange(1, 8).Draw(t, "commands") {
		c := rapid.SampledFrom(strings.Split("LlHhVvCcSsQqTtAaZzMm", "")).Draw(t, "command")
		b.WriteString(c)
		for k := range numbersOf[c[0]&^0x20] {
			switch {
			case c != "A" && c != "a", k == 2, k > 4:
				b.WriteString(n() + " ")
			case k < 2:
				b.WriteString(u() + " ")
			default:
				b.WriteString(rapid.SampledFrom([]string{"0 ", "1 "}).Draw(t, "flag"))
			}
		}
	}
	return b.String() + `"`
}

// A transform in the file moves the line work as the same map moves it after
// reading, whatever the map does to arcs.
func TestTransformsCommuteWithReading(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := randomShape(t)
		num := func(name string) float64 {
			return math.Round(rapid.Float64Range(-2, 2).Draw(t, name)*1000) / 1000
		}
		m := paths.Affine{A: num("a"), B: num("b"), C: num("c"), D: num("d"), E: num("e"), F: num("f")}
		if math.Abs(m.Det()) < 0.01 {
			t.Skip("flat")
		}
		read := func(extra string) paths.Design {
			d, err := Read("", []byte(inPage(shape+extra+` fill="none" stroke="red"/>`)), Options{})
			if err != nil {
				t.Skip("nothing drawn") // a path may consist of moves alone
			}
			checkDesign(t, d)
			return d
		}
		plain := read("")
		moved := read(fmt.Sprintf(` transform="matrix(%v %v %v %v %v %v)"`, m.A, m.B, m.C, m.D, m.E, m.F))
		flip := paths.Affine{A: 1, D: -1, F: 100}
		want := plain.Transform(flip.Then(m).Then(flip))
		got, expected := moved.Strokes(), want.Strokes()
		if len(got) != len(expected) {
			t.Fatalf("%d strokes, want %d", len(got), len(expected))
		}
		for i := range got {
			if got[i].IsClosed() != expected[i].IsClosed() {
				t.Fatalf("stroke %d: closed %v, want %v", i, got[i].IsClosed(), expected[i].IsClosed())
			}
			const res = 0.1
			if far := deviation.Apart(got[i], expected[i], res); far > 0.006+res/4 {
				t.Fatalf("stroke %d of %s is %v mm off", i, shape, far)
			}
		}
	})
}

// Clipping loses nothing and invents nothing: the parts inside and the parts
// outside are together as long as the line. The line is slanted, because one
// along an edge counts as inside on both sides of it.
func TestClippingKeepsLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape, hole := randomShape(t), randomShape(t)
		length := func(clip string) float64 {
			d, _ := Read("", []byte(inPage(`<clipPath id="c">`+clip+`</clipPath><g clip-path="url(#c)">`+shape+` transform="rotate(17.3)" fill="none" stroke="red"/></g>`)), Options{})
			for _, s := range d.Strokes() {
				if err := s.Validate(); err != nil {
					t.Fatal(err)
				}
			}
			return paths.LengthOf(d.Strokes())
		}
		const all = `<path clip-rule="evenodd" d="M-999-999h2000v2000h-2000z`
		if !strings.HasPrefix(hole, "<path") || strings.Contains(shape, "E") {
			t.Skip("only a path can be a hole")
		}
		d := strings.TrimSuffix(strings.TrimPrefix(hole, `<path d="`), `"`)
		// Under the even-odd rule, the area outside the hole's path is all of
		// the rest.
		inside := length(hole + ` clip-rule="evenodd"/>`)
		outside := length(all + d + `"/>`)
		whole := length(all + `"/>`)
		// Nothing is lost; and only what lies beside the edge may count on both sides,
		// where a line crosses it flatly or touches it: a piece between two cuts counts
		// where its middle is within 0.002 mm, so its end may be 0.004 mm away.
		more := inside + outside - whole
		if slack := 0.05 + 1e-3*whole; more < -slack || more > slack && more > slack+besideEdge(t, shape, d) {
			t.Fatalf("%s\nclipped by %s: %v inside and %v outside of %v", shape, hole, inside, outside, whole)
		}
	})
}

// besideEdge returns the length, in mm, of a slanted shape within 0.0045 mm of the edge of the
// area that path data encloses.
func besideEdge(t *rapid.T, shape, hole string) (length float64) {
	flat := func(element string) (lines []paths.Line) {
		d, err := Read("", []byte(inPage(element)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range d.Strokes() {
			pts := s.Flatten(1e-4)
			for i := range pts[1:] {
				lines = append(lines, paths.Line{A: pts[i], B: pts[i+1]})
			}
			if strings.HasPrefix(element, `<path`) {
				lines = append(lines, paths.Line{A: pts[len(pts)-1], B: pts[0]})
			}
		}
		return lines
	}
	edges := flat(`<path d="` + hole + `" fill="none" stroke="red"/>`)
	for _, l := range flat(`<g transform="rotate(17.3)">` + shape + ` fill="none" stroke="red"/></g>`) {
		const step = 0.02
		n := max(1, int(l.Length()/step))
		for i := range n {
			p := l.A.Lerp(l.B, (float64(i)+0.5)/float64(n))
			if slices.ContainsFunc(edges, func(e paths.Line) bool { return e.Dist(p) < 0.0045 }) {
				length += l.Length() / float64(n)
			}
		}
	}
	return length
}

// The dashes and the gaps of a line together are as long as the line.
func TestDashesKeepLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape := randomShape(t)
		a, b := rapid.Float64Range(0.5, 9).Draw(t, "dash"), rapid.Float64Range(0.5, 9).Draw(t, "gap")
		length := func(dashes string) float64 {
			d, err := Read("", []byte(inPage(shape+dashes+` fill="none" stroke="red"/>`)), Options{Dashes: true})
			if err == nil {
				checkDesign(t, d)
			}
			return paths.LengthOf(d.Strokes())
		}
		on := length(fmt.Sprintf(` stroke-dasharray="%v %v"`, a, b))
		off := length(fmt.Sprintf(` stroke-dasharray="%v %v" stroke-dashoffset="%v"`, b, a, b))
		if whole := length(""); math.Abs(on+off-whole) > 1e-5*(1+whole) {
			t.Fatalf("%s: %v in dashes and %v in gaps of %v", shape, on, off, whole)
		}
	})
}

// numbersOf is how many numbers each command of path data takes (SVG 2, Paths,
// 9.3.3 to 9.3.8).
var numbersOf = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}
