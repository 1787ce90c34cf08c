package svg

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/deviation"
)

// drawStroke draws a stroke of lines, arcs and cubics within a square of 200
// mm. Two points are the same, or farther apart than the rounding of what is
// written.
func drawStroke(t *rapid.T) paths.Stroke {
	num := func(name string) float64 { return 0.0137 * float64(rapid.IntRange(0, 14000).Draw(t, name)) }
	point := func() paths.Point { return paths.Point{X: num("x"), Y: num("y")} }
	at := point()
	var s paths.Stroke
	switch rapid.IntRange(0, 5).Draw(t, "whole") {
	case 0:
		return paths.Stroke{paths.Line{A: at, B: at}}
	case 1:
		return paths.Stroke{paths.Circle(at, 1+num("r"))}
	}
	for range rapid.IntRange(1, 6).Draw(t, "curves") {
		to := point()
		switch rapid.IntRange(0, 2).Draw(t, "kind") {
		case 0:
			s = append(s, paths.Line{A: at, B: to})
		case 1:
			s = append(s, paths.ArcBulge(at, to, rapid.Float64Range(-5, 5).Draw(t, "bulge")))
		default:
			s = append(s, paths.Cubic{A: at, B: point(), C: point(), D: to})
		}
		at = to
	}
	if rapid.Bool().Draw(t, "closed") {
		s = append(s, paths.Line{A: at, B: s.Start()})
	}
	return s
}

// A design that is written reads back as the design it was: the same layers and
// strokes in the same order, each within a thousandth of a millimetre.
func TestWrittenDesignReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := paths.Design{
			Name: "d.svg", HasSize: rapid.Bool().Draw(t, "sized"),
			Page: paths.Rect{Max: paths.Point{X: 200 + rapid.Float64Range(0, 99).Draw(t, "w"), Y: 210}},
		}
		for i := range rapid.IntRange(1, 2).Draw(t, "layers") {
			l := paths.Layer{Name: fmt.Sprintf("%s%d", rapid.SampledFrom([]string{"border ", "<sea & sky> ", `"gulls"`, "é"}).Draw(t, "name"), i)}
			for range rapid.IntRange(1, 2).Draw(t, "strokes") {
				s := paths.DesignStroke{
					Stroke: drawStroke(t), Element: "path",
					Width: rapid.Float64Range(0.1, 3).Draw(t, "width"), Colour: rapid.SampledFrom([]string{"#1a1a1a", "navy"}).Draw(t, "colour"),
				}
				// Filled only when the shape surely has an area.
				_, round := s.Stroke[0].(paths.Arc)
				if s.Filled = rapid.Bool().Draw(t, "filled") && round && len(s.Stroke) == 1 && s.IsClosed(); s.Filled {
					s.Width = 0
				}
				l.Strokes = append(l.Strokes, s)
			}
			d.Layers = append(d.Layers, l)
		}
		back, err := Read("d.svg", Write(d), Options{})
		if err != nil {
			t.Fatal(err)
		}
		if back.HasSize != d.HasSize || math.Abs(back.Page.Width()-d.Page.Width()) > 1e-3 || len(back.Layers) != len(d.Layers) {
			t.Fatalf("read back: size %v, page %v, %d layers", back.HasSize, back.Page, len(back.Layers))
		}
		for i, l := range d.Layers {
			checkLayer(t, back.Layers[i], l)
		}
	})
}

// checkLayer compares a layer that was read back with the one that was written.
func checkLayer(t *rapid.T, back, l paths.Layer) {
	if back.Name != l.Name || len(back.Strokes) != len(l.Strokes) {
		t.Fatalf("layer %q came back as %q with %d strokes", l.Name, back.Name, len(back.Strokes))
	}
	for j, want := range l.Strokes {
		got := back.Strokes[j]
		if math.Abs(got.Width-want.Width) > 1e-4 || got.Colour != want.Colour || got.Filled != want.Filled ||
			got.IsClosed() != want.IsClosed() || got.IsDot() != want.IsDot() {
			t.Fatalf("stroke %d: %+v came back as %+v", j, want, got)
		}
		if off := deviation.Apart(got.Stroke, want.Stroke, 5e-4); off > 1e-3 {
			t.Fatalf("stroke %d is %v mm off:\n%v\n%v", j, off, want.Stroke, got.Stroke)
		}
	}
}

// What is written without a page, without strokes or twice.
func TestWriteEdges(t *testing.T) {
	one := paths.Design{HasSize: true, Page: paths.EmptyRect(), Layers: []paths.Layer{{Name: "a", Strokes: []paths.DesignStroke{
		{Stroke: paths.Polyline(paths.Point{X: 10, Y: 20}, paths.Point{X: 40, Y: 60}), Width: 0.5},
	}}}}
	back, err := Read("x.svg", Write(one), Options{})
	if err != nil {
		t.Fatal(err)
	}
	want := paths.Polyline(paths.Point{}, paths.Point{X: 30, Y: 40})
	if off := deviation.Of(back.Strokes()[0], want, 1e-5); off > 1e-4 || back.Page.Width() != 30 {
		t.Errorf("without a page: %v on %v", back.Strokes()[0], back.Page)
	}
	if a, b := Write(one), Write(one); string(a) != string(b) {
		t.Error("written twice it differs")
	}
	if _, err := Read("x.svg", Write(paths.Design{}), Options{}); err == nil {
		t.Error("an empty design reads back as one with lines")
	}
}

// TestNumberAgainstStrconv holds Number against the shortest decimal of the rounded value,
// as the standard library writes it.
func TestNumberAgainstStrconv(t *testing.T) {
	judge := func(v float64, decimals int) error {
		want := strconv.FormatFloat(math.Round(v*math.Pow10(decimals))/math.Pow10(decimals), 'f', -1, 64)
		if want == "-0" {
			want = "0"
		}
		if got := Number(v, decimals); got != want {
			return fmt.Errorf("Number(%g, %d) = %q, want %q", v, decimals, got, want)
		}
		return nil
	}
	for _, v := range []float64{0, math.Copysign(0, -1), 1e-9, -1e-9, 0.5, -0.0005, 0.0005, 1, -1, 12.34, 1e12 - 0.001, 999999999999.999, 1e15, 1e22, -1e300, math.Inf(1)} {
		for _, decimals := range []int{-2, 0, 1, 3, 4, 15, 16, 20} {
			if err := judge(v, decimals); err != nil {
				t.Error(err)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1, 1).Draw(t, "v") * math.Pow10(rapid.IntRange(-6, 18).Draw(t, "size"))
		if err := judge(v, rapid.IntRange(0, 9).Draw(t, "decimals")); err != nil {
			t.Fatal(err)
		}
	})
}
