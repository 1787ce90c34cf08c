package proof

import (
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths"
)

var (
	update   = flag.Bool("update", false, "rewrite the golden files")
	pictures = flag.String("pictures", "", "also write the pictures of the test scenes into this folder, to be looked at")
)

func pt(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

func rect(x0, y0, x1, y1 float64) paths.Rect { return paths.RectOf(pt(x0, y0), pt(x1, y1)) }

// grid returns the channels over r, with pitches px and py and channel 0 at
// origin.
func grid(r paths.Rect, origin paths.Point, px, py float64) []WeaveLine {
	var out []WeaveLine
	for k := int(math.Ceil((r.Min.X - origin.X) / px)); origin.X+float64(k)*px <= r.Max.X; k++ {
		x := origin.X + float64(k)*px
		out = append(out, WeaveLine{Channel: k, Points: []paths.Point{pt(x, r.Min.Y), pt(x, r.Max.Y)}})
	}
	for k := int(math.Ceil((r.Min.Y - origin.Y) / py)); origin.Y+float64(k)*py <= r.Max.Y; k++ {
		y := origin.Y + float64(k)*py
		out = append(out, WeaveLine{Channel: k, Along: true, Points: []paths.Point{pt(r.Min.X, y), pt(r.Max.X, y)}})
	}
	return out
}

// travels returns the travel between strokes, from and back to home.
func travels(home paths.Point, ink []Ink) []paths.Line {
	var out []paths.Line
	at := home
	for _, k := range ink {
		out = append(out, paths.Line{A: at, B: k.Stroke.Start()})
		at = k.Stroke.End()
	}
	return append(out, paths.Line{A: at, B: home})
}

// rugScene is a rug of the given size in the middle of a backing with a margin,
// on a machine, with a border, waves, discs and a star scaled to it.
func rugScene(title string, w, h, margin float64, machine paths.Rect) Scene {
	c := machine.Centre()
	rug := rect(c.X-w/2, c.Y-h/2, c.X+w/2, c.Y+h/2)
	back := rug.Grow(margin)
	at := func(u, v float64) paths.Point { return pt(rug.Min.X+u*w, rug.Min.Y+v*h) }
	marker := func(s paths.Stroke, layer string) Ink {
		return Ink{Stroke: s, Colour: "#1a1a1a", Width: 0.8, Layer: layer, Pen: "fine-marker"}
	}
	pencil := func(s paths.Stroke) Ink {
		return Ink{Stroke: s, Colour: "#56616b", Width: 0.7, Layer: "border", Pen: "soft-pencil"}
	}
	ink := []Ink{pencil(Outline(rug)), pencil(Outline(rug.Grow(-0.04 * math.Min(w, h))))}
	for i := range 4 {
		v := 0.15 + 0.08*float64(i)
		var wave paths.Stroke
		for j := range 6 {
			u := 0.1 + 0.8*float64(j)/6
			a, d := at(u, v), at(0.1+0.8*float64(j+1)/6, v)
			up := pt(0, 0.06*h)
			wave = append(wave, paths.Cubic{A: a, B: a.Add(up), C: d.Sub(up), D: d})
		}
		ink = append(ink, marker(wave, "sea"))
	}
	r := 0.12 * math.Min(w, h)
	ink = append(ink, marker(paths.Stroke{paths.Circle(at(0.3, 0.7), r)}, "sun"))
	for i := range 12 {
		d := pt(math.Cos(float64(i)*math.Pi/6), math.Sin(float64(i)*math.Pi/6))
		ink = append(ink, marker(paths.Polyline(at(0.3, 0.7).Add(d.Mul(1.2*r)), at(0.3, 0.7).Add(d.Mul(1.7*r))), "sun"))
	}
	ink = append(ink,
		marker(paths.Stroke{paths.ArcAround(at(0.7, 0.7), r, 0.3, 4)}, "moon"),
		marker(paths.Polyline(at(0.7, 0.7)), "moon"))
	start, end := ink[0].Stroke.Start(), ink[len(ink)-1].Stroke.End()
	return Scene{
		Title:    title,
		Side:     "the back of the rug, as the pen draws it: mirrored",
		Captions: []string{"finished size " + paths.Length(w).Both() + " x " + paths.Length(h).Both(), "21 strokes", "12.4 m drawn", "3.1 m pen up", "about 9 min"},
		Rug:      Outline(rug), Backing: Outline(back), Machine: Outline(machine),
		Weave: grid(back, rug.Min, 25.4/12, 25.4/13),
		Ink:   ink, Travel: travels(machine.Min, ink), Start: &start, End: &end,
	}
}

// testScenes are scenes of all sizes, each with something of its own.
func testScenes() map[string]Scene {
	skew := rugScene("skewed cloth", 300, 300, 60, rect(0, 0, 600, 900))
	lean := paths.Affine{A: 1, B: 0.02, C: 0.03, D: 1}
	skew.Rug, skew.Backing = skew.Rug.Transform(lean), skew.Backing.Transform(lean)
	for i := range skew.Ink {
		skew.Ink[i].Stroke = skew.Ink[i].Stroke.Transform(lean)
	}
	for _, w := range skew.Weave {
		for i := range w.Points {
			w.Points[i] = lean.Apply(w.Points[i])
		}
	}
	skew.Travel, skew.Start, skew.End = nil, nil, nil
	for i, c := range skew.Rug {
		skew.Marks = append(skew.Marks, Mark{At: c.Start(), Off: pt(0.3*float64(i%2)-0.1, 0.2-0.15*float64(i))})
	}

	noted := rugScene("noted", 457.2, 609.6, 101.6, rect(0, 0, 600, 900))
	for i := range 7 {
		at := noted.Ink[2].Stroke[0].Start().Add(pt(6*float64(i), 3*float64(i%3)))
		noted.Notes = append(noted.Notes, Note{At: &at, Label: "this line asks for 55 mm/s where the pen allows no more than 40 mm/s"})
	}
	noted.Notes = append(noted.Notes, Note{Label: "the backing is wider than the machine's reach: roll it on, and clamp what hangs over"})

	foreign := rugScene("", 80, 60, 10, rect(0, 0, 600, 900))
	foreign.Rug, foreign.Backing, foreign.Weave, foreign.Side = nil, nil, nil, ""
	foreign.Captions = nil

	paced := rugScene("paced", 457.2, 609.6, 101.6, rect(0, 0, 600, 900))
	paced.Rug, paced.Backing, paced.Weave = nil, nil, nil
	for i := range 3 {
		paced.Paces = append(paced.Paces, Pace{From: 10 * float64(i), To: 10 * float64(i+1), Width: 0.8})
	}
	for i := range paced.Ink {
		k := &paced.Ink[i]
		k.Number = i + 1
		p := &paced.Paces[i%3]
		p.Strokes = append(p.Strokes, k.Stroke)
	}
	off := paced.Ink[3].Stroke.Start()
	paced.Notes = []Note{{At: &off, Label: "line 7 leaves the reach by 3.0 mm at the left", Parts: []paths.Stroke{paced.Ink[3].Stroke}}}

	return map[string]Scene{
		"paced":   paced,
		"coaster": rugScene("coaster", 100, 100, 40, rect(0, 0, 600, 900)),
		"small":   rugScene("gull-and-sun-mat-for-the-tuesday-class-second-drawing-with-wider-border", 200, 200, 101.6, rect(0, 0, 600, 900)),
		"mat":     rugScene("lighthouse-mat", 457.2, 609.6, 101.6, rect(0, 0, 600, 900)),
		"runner":  rugScene("stair runner", 600, 2000, 101.6, rect(0, 0, 900, 2300)),
		"carpet":  rugScene("the long hall carpet of the net loft", 2000, 1000, 101.6, rect(0, 0, 2400, 1400)),
		"strip":   rugScene("bell pull", 2000, 120, 50, rect(0, 0, 2400, 1400)),
		"skew":    skew, "noted": noted, "foreign": foreign,
		"empty": {},
	}
}

func TestPictures(t *testing.T) {
	if *pictures == "" {
		t.Skip("no -pictures folder is given")
	}
	for name, s := range testScenes() {
		writePictures(t, name, s)
	}
}

func writePictures(t *testing.T, name string, s Scene) {
	t.Helper()
	svg, err := SVG(s)
	if err != nil {
		t.Fatal(err)
	}
	pix, err := PNG(s, 1000)
	if err != nil {
		t.Fatal(err)
	}
	for ext, data := range map[string][]byte{".svg": svg, ".png": pix} {
		if err := os.WriteFile(filepath.Join(*pictures, name+ext), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
