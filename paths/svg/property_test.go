package svg

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
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
		if far := max(paths.Deviation(s, paths.Polyline(truth...), tol/2), paths.Deviation(paths.Polyline(truth...), s, tol/2)); far > 2*tol {
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
			if far := max(paths.Deviation(got[i], expected[i], res), paths.Deviation(expected[i], got[i], res)); far > 0.006+res/4 {
				t.Fatalf("stroke %d of %s is %v mm off", i, shape, far)
			}
		}
	})
}

// Clipping loses nothing and invents nothing: the parts inside and the parts
// outside are together as long as the line, but for what lies so near an edge of the
// clip that it counts on both sides.
func TestClippingKeepsLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shape, hole := randomShape(t), randomShape(t)
		const line = ` transform="rotate(17.3)" fill="none" stroke="red"/>`
		drawn := func(body string) []paths.Stroke {
			d, _ := Read("", []byte(inPage(body)), Options{})
			for _, s := range d.Strokes() {
				if err := s.Validate(); err != nil {
					t.Fatal(err)
				}
			}
			return d.Strokes()
		}
		length := func(clip string) float64 {
			return paths.LengthOf(drawn(`<clipPath id="c">` + clip + `</clipPath><g clip-path="url(#c)">` + shape + line + `</g>`))
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
		whole := drawn(`<clipPath id="c">` + all + `"/></clipPath><g clip-path="url(#c)">` + shape + line + `</g>`)
		// What is within 0.002 mm of an edge counts as inside, and the cut is that far
		// beyond a crossing; half as much again for the flattening of both.
		twice := lengthNear(whole, outlines(drawn(hole+` fill="red"/>`)), 0.003)
		if diff := math.Abs(inside + outside - paths.LengthOf(whole)); diff > 1.05*twice+1e-3*paths.LengthOf(whole) {
			t.Fatalf("%s\nclipped by %s: %v inside and %v outside of %v, of which %v on the edge", shape, hole, inside, outside, paths.LengthOf(whole), twice)
		}
	})
}

// lengthNear returns how much of the lines lies within d of the edges, by trying each
// piece of a few hundredths of a millimetre against all of them.
func lengthNear(lines, edges []paths.Stroke, d float64) float64 {
	type side struct {
		paths.Line
		box paths.Rect
	}
	var sides []side
	for _, e := range edges {
		pts := e.Flatten(d / 10)
		for i := 1; i < len(pts); i++ {
			sides = append(sides, side{paths.Line{A: pts[i-1], B: pts[i]}, paths.RectOf(pts[i-1], pts[i]).Grow(d)})
		}
	}
	sum := 0.
	for _, l := range lines {
		pts := l.Flatten(d / 10)
		for i := 1; i < len(pts); i++ {
			chord := paths.Line{A: pts[i-1], B: pts[i]}
			near := sides[:0:0]
			for _, s := range sides {
				if s.box.Overlaps(chord.Bounds()) {
					near = append(near, s)
				}
			}
			n := 1 + int(chord.Length()/(10*d))
			if len(near) == 0 {
				continue
			}
			for k := range n {
				q := chord.At((float64(k) + 0.5) / float64(n))
				reach := d + chord.Length()/float64(2*n)
				for _, s := range near {
					if s.box.Grow(reach).Contains(q) && s.Dist(q) <= reach {
						sum += chord.Length() / float64(n)
						break
					}
				}
			}
		}
	}
	return sum
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
