package proof

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// small is a scene with one of everything, for the golden file.
func small() Scene {
	start, end, at := pt(10, 10), pt(30, 25), pt(22, 30)
	ink := func(s paths.Stroke, pen int) Ink {
		return Ink{Stroke: s, Colour: []string{"#1a1a1a", "#0072b2", "#56616b"}[pen], Width: 0.8,
			Layer: []string{"one & two", "<three>", ""}[pen], Pen: []string{"fine-marker", "extra-fine-marker", ""}[pen]}
	}
	return Scene{
		Title: "one of <everything>", Side: "the back & not the front", Captions: []string{"60 mm", "", "a \"quoted\" fact"},
		Rug: Outline(rect(0, 0, 60, 40)), Backing: Outline(rect(-8, -8, 68, 48)), Machine: Outline(rect(-12, -10, 80, 52)),
		Weave: grid(rect(-8, -8, 68, 48), pt(0, 0), 2, 2),
		Ink: []Ink{
			ink(paths.Polyline(pt(10, 10), pt(50, 10), pt(50, 20)), 0),
			ink(paths.Stroke{paths.Circle(pt(20, 25), 5)}, 1),
			ink(paths.Stroke{paths.ArcAround(pt(40, 25), 6, 1, 5)}, 1),
			ink(paths.Stroke{paths.ArcAround(pt(40, 25), 8, 2, -1.5)}, 0),
			ink(paths.Stroke{paths.Cubic{A: pt(5, 30), B: pt(15, 45), C: pt(25, 20), D: pt(35, 38)}}, 2),
			ink(paths.Polyline(pt(30, 25)), 2),
		},
		Travel: []paths.Line{{A: pt(-12, -10), B: pt(10, 10)}, {A: pt(50, 20), B: pt(25, 25)}},
		Start:  &start, End: &end,
		Marks: []Mark{{At: pt(0, 0), Off: pt(0.1, 0.2)}, {At: pt(60, 40), Off: pt(0, 0)}},
		Notes: []Note{{At: &at, Label: "too fine to work"}, {Label: "wear gloves"}},
	}
}

func TestGolden(t *testing.T) {
	finished := small()
	finished.Side, finished.NoDirection = "the front of the rug", true
	finished.Travel, finished.Start, finished.End, finished.Machine, finished.Notes = nil, nil, nil, nil, nil
	for name, s := range map[string]Scene{"everything": small(), "finished": finished, "nothing": {}} {
		got, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", name+".svg")
		if *update {
			if err := os.WriteFile(file, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from the golden file; see what changed with -update", file)
		}
	}
}

// element is a node of an SVG file as encoding/xml reads it.
type element struct {
	name  string
	attrs map[string]string
	text  string
	kids  []*element
}

func parseXML(t testing.TB, data []byte) *element {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(data))
	root := &element{}
	stack := []*element{root}
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		top := stack[len(stack)-1]
		switch tok := tok.(type) {
		case xml.StartElement:
			e := &element{name: tok.Name.Local, attrs: map[string]string{}}
			for _, a := range tok.Attr {
				if _, twice := e.attrs[a.Name.Local]; twice {
					t.Fatalf("attribute %s twice", a.Name.Local)
				}
				e.attrs[a.Name.Local] = a.Value
			}
			top.kids = append(top.kids, e)
			stack = append(stack, e)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			top.text += string(tok)
		}
	}
	if len(root.kids) != 1 || root.kids[0].name != "svg" {
		t.Fatal("the root is not svg")
	}
	return root.kids[0]
}

// all returns e and what is below it, in order.
func (e *element) all() []*element {
	out := []*element{e}
	for _, k := range e.kids {
		out = append(out, k.all()...)
	}
	return out
}

// byID returns the element with an id, nil if there is none.
func (e *element) byID(id string) *element {
	for _, k := range e.all() {
		if k.attrs["id"] == id {
			return k
		}
	}
	return nil
}

func (e *element) num(t testing.TB, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(e.attrs[name], 64)
	if err != nil {
		t.Fatalf("%s %s=%q: %v", e.name, name, e.attrs[name], err)
	}
	return v
}

// readPath reads path data with the commands M L C A Z as absolute ones.
func readPath(t testing.TB, d string) []paths.Stroke {
	t.Helper()
	for _, c := range "MLCAZ" {
		d = strings.ReplaceAll(d, string(c), " "+string(c)+" ")
	}
	f := strings.Fields(d)
	next := func() float64 {
		v, err := strconv.ParseFloat(f[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		f = f[1:]
		return v
	}
	point := func() paths.Point { x := next(); return pt(x, next()) }
	var out []paths.Stroke
	var at, begin paths.Point
	add := func(c paths.Curve) {
		n := len(out) - 1
		out[n], at = append(out[n], c), c.End()
	}
	for len(f) > 0 {
		cmd := f[0]
		f = f[1:]
		switch cmd {
		case "M":
			at = point()
			begin, out = at, append(out, nil)
		case "L":
			add(paths.Line{A: at, B: point()})
		case "C":
			b, c := point(), point()
			add(paths.Cubic{A: at, B: b, C: c, D: point()})
		case "A":
			rx, _, _, large, sweep := next(), next(), next(), next(), next()
			add(endpointArc(at, point(), rx, large == 1, sweep == 1))
		case "Z":
			if at != begin {
				add(paths.Line{A: at, B: begin})
			}
		default:
			t.Fatalf("unknown command %q", cmd)
		}
	}
	return out
}

// endpointArc is the conversion from end points to a centre of SVG 2, appendix
// B.2.4, for a circle.
func endpointArc(a, b paths.Point, r float64, large, sweep bool) paths.Arc {
	h := a.Sub(b).Mul(0.5)
	r = math.Max(r, h.Len()) // B.2.5: radii too small are scaled up
	k := math.Sqrt(math.Max(0, (r*r-h.Dot(h))/h.Dot(h)))
	if large == sweep {
		k = -k
	}
	c := pt(k*h.Y, -k*h.X).Add(a.Lerp(b, 0.5))
	turn := math.Mod(b.Sub(c).Angle()-a.Sub(c).Angle(), 2*math.Pi)
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	return paths.Arc{From: a, To: b, Centre: c, Sweep: turn}
}

// TestInkOnce checks that every stroke is in the file exactly once, within a
// hundredth of a millimetre of its place, and in its colour.
func TestInkOnce(t *testing.T) {
	scenes := testScenes()
	scenes["everything"] = small()
	for name, s := range scenes {
		t.Run(name, func(t *testing.T) {
			data, err := SVG(s)
			if err != nil {
				t.Fatal(err)
			}
			root := parseXML(t, data)
			left := append([]Ink(nil), s.Ink...)
			for i := range s.Paces { // which are shown instead of the ink
				if i == 0 {
					left = nil
				}
				for _, k := range s.Paces[i].Strokes {
					left = append(left, Ink{Stroke: k, Colour: shadeOf(i, len(s.Paces)), Width: s.Paces[i].Width})
				}
			}
			ink := root.byID("ink")
			if ink == nil {
				if len(left) > 0 {
					t.Fatal("no group of ink")
				}
				return
			}
			for _, g := range ink.kids {
				for _, p := range g.all() {
					if p.name != "path" {
						continue
					}
					strokes := readPath(t, p.attrs["d"])
					if len(strokes) != 1 {
						t.Fatalf("%d strokes in one path", len(strokes))
					}
					left = without(t, left, strokes[0], g)
				}
			}
			if len(left) > 0 {
				t.Errorf("%d strokes are missing", len(left))
			}
		})
	}
}

// without returns ink less the one that s draws.
func without(t *testing.T, ink []Ink, s paths.Stroke, g *element) []Ink {
	t.Helper()
	for i, k := range ink {
		if k.Stroke.IsClosed() != s.IsClosed() || k.Stroke.Start().Dist(s.Start()) > 0.01 {
			continue
		}
		if deviation.Of(k.Stroke, s, 0.001) > 0.01 || deviation.Of(s, k.Stroke, 0.001) > 0.01 {
			continue
		}
		if g.attrs["stroke"] != k.Colour || g.num(t, "stroke-width") < k.Width {
			t.Errorf("a stroke of %s is drawn %s and %s mm wide", k.Colour, g.attrs["stroke"], g.attrs["stroke-width"])
		}
		return append(ink[:i:i], ink[i+1:]...)
	}
	t.Errorf("stroke %v is not in the scene, or is drawn twice", s)
	return ink
}

// TestCurvesStay checks that arcs and cubics are written as such.
func TestCurvesStay(t *testing.T) {
	data, err := SVG(small())
	if err != nil {
		t.Fatal(err)
	}
	var d strings.Builder
	for _, e := range parseXML(t, data).byID("ink").all() {
		d.WriteString(e.attrs["d"])
	}
	// A circle and an arc beyond a half turn are two arcs each.
	if got := strings.Count(d.String(), "A"); got != 5 {
		t.Errorf("%d arcs, want 5", got)
	}
	if got := strings.Count(d.String(), "C"); got != 1 {
		t.Errorf("%d cubics, want 1", got)
	}
}

// TestRealSize checks that the file is at real size, y up in the drawing: one
// user unit is a millimetre.
func TestRealSize(t *testing.T) {
	for name, s := range testScenes() {
		data, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		root := parseXML(t, data)
		var x, y, w, h float64
		if _, err := fmt.Sscan(root.attrs["viewBox"], &x, &y, &w, &h); err != nil {
			t.Fatal(err)
		}
		if x != 0 || y != 0 || root.attrs["width"] != num(w)+"mm" || root.attrs["height"] != num(h)+"mm" {
			t.Errorf("%s: viewBox %q on %s by %s", name, root.attrs["viewBox"], root.attrs["width"], root.attrs["height"])
		}
		if m := root.byID("drawing"); m != nil && !strings.HasPrefix(m.attrs["transform"], "matrix(1 0 0 -1 ") {
			t.Errorf("%s: the drawing is under %s", name, m.attrs["transform"])
		}
	}
}

// TestScaleBar checks the bar against the inch of exactly 25.4 mm (addendum to
// NBS Circular 572, 1960): the inch ticks are above, the centimetre ticks
// below, both from the same zero.
func TestScaleBar(t *testing.T) {
	for name, s := range testScenes() {
		data, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		bar := parseXML(t, data).byID("scale")
		var said []string
		for _, e := range bar.all() {
			if e.name == "text" {
				said = append(said, e.text)
			}
		}
		var in, cm float64
		if _, err := fmt.Sscanf(strings.Join(said, " "), "0 %f in 0 %f cm", &in, &cm); err != nil {
			t.Fatalf("%s: %q: %v", name, said, err)
		}
		var up, down, zero float64 = 0, 0, math.Inf(1)
		ticks := readPath(t, bar.kids[1].attrs["d"])
		for _, s := range ticks {
			zero = math.Min(zero, s.Start().X)
		}
		for _, s := range ticks {
			switch d := s.End().Y - s.Start().Y; {
			case d < 0:
				up = math.Max(up, s.Start().X-zero)
			case d > 0:
				down = math.Max(down, s.Start().X-zero)
			}
		}
		if math.Abs(up-25.4*in) > 0.003 || math.Abs(down-10*cm) > 0.003 {
			t.Errorf("%s: %v in are %v mm, %v cm are %v mm", name, in, up, cm, down)
		}
	}
}

func TestDeterministic(t *testing.T) {
	for name, s := range testScenes() {
		a, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		b, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Errorf("%s: two runs differ", name)
		}
	}
}
