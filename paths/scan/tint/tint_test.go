package tint

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	_ "weftplot/paths/samecases"
)

// of returns the tint of a colour on white paper.
func of(r, g, b float64) Tint {
	var a [3]float64
	for i, v := range [3]float64{r, g, b} {
		a[i] = math.Log(255 / max(1, v))
	}
	return Of(a)
}

// TestColourWords takes colours by the names that the web gives them, and as a scanner
// blurs them into white paper.
//
// Source: CSS Color Module Level 4, section 6.1, Named Colors.
func TestColourWords(t *testing.T) {
	for _, c := range []struct {
		web     string
		r, g, b float64
		want    string
	}{
		{"red", 255, 0, 0, "red"}, {"firebrick", 178, 34, 34, "red"}, {"crimson", 220, 20, 60, "red"},
		{"darkorange", 255, 140, 0, "orange"}, {"orangered", 255, 69, 0, "orange"},
		{"yellow", 255, 255, 0, "yellow"}, {"gold", 255, 215, 0, "yellow"},
		{"green", 0, 128, 0, "green"}, {"seagreen", 46, 139, 87, "green"}, {"limegreen", 50, 205, 50, "green"},
		{"teal", 0, 128, 128, "turquoise"}, {"turquoise", 64, 224, 208, "turquoise"},
		{"blue", 0, 0, 255, "blue"}, {"navy", 0, 0, 128, "blue"}, {"royalblue", 65, 105, 225, "blue"}, {"steelblue", 70, 130, 180, "blue"},
		{"purple", 128, 0, 128, "purple"}, {"indigo", 75, 0, 130, "purple"},
		{"hotpink", 255, 105, 180, "pink"}, {"deeppink", 255, 20, 147, "pink"},
		{"saddlebrown", 139, 69, 19, "brown"}, {"sienna", 160, 82, 45, "brown"},
	} {
		got := of(c.r, c.g, c.b)
		if got < first || nameOf(got.hue(), got.isDull()) != c.want {
			t.Errorf("%s is tint %d", c.web, got)
			continue
		}
		// Two thirds of a pixel are inked; a purple may pass for its neighbours.
		part := of(85+c.r*2/3, 85+c.g*2/3, 85+c.b*2/3)
		if part < first || apart(part.hue(), got.hue()) > alike {
			t.Errorf("%s blurred has hue %d, not %d", c.web, part.hue(), got.hue())
		}
	}
	for _, v := range []float64{0, 40, 110, 180} {
		if got := of(v, v, v); got != Plain {
			t.Errorf("grey %v is tint %d", v, got)
		}
	}
	if got := of(240, 238, 236); got != None {
		t.Errorf("paper is tint %d", got)
	}
}

// page is a plane of 60 x 40 mm in which each pixel has the tint that paint gives it.
func page(paint func(x, y float64) Tint) Plane {
	p := Plane{W: 600, H: 400, MM: 0.1, Tints: make([]Tint, 600*400)}
	for i := range p.Tints {
		p.Tints[i] = paint((float64(i%p.W)+0.5)*p.MM, (float64(p.H-1-i/p.W)+0.5)*p.MM)
	}
	return p
}

func evenly(paths.Point) float64 { return 0.9 }

// TestDivide cuts a line that goes on in another ink, a ring of two inks, and does not
// cut a line where another crosses it.
func TestDivide(t *testing.T) {
	red, blue := of(200, 40, 40), of(40, 60, 200)
	p := page(func(x, y float64) Tint {
		switch {
		case math.Abs(x-50) < 0.4:
			return Plain
		case y > 30 && x < 20, y < 28 && x < 30:
			return red
		}
		return blue
	})
	line := paths.Polyline(paths.Point{X: 5, Y: 35}, paths.Point{X: 19.4, Y: 35}, paths.Point{X: 30, Y: 30}, paths.Point{X: 58, Y: 30})
	ring := paths.Stroke{paths.Circle(paths.Point{X: 30, Y: 15}, 10)}
	short := paths.Polyline(paths.Point{X: 31, Y: 35}, paths.Point{X: 32, Y: 35})
	dot := paths.Polyline(paths.Point{X: 50, Y: 35})
	pieces, names := Divide([]paths.Stroke{line, ring, short, dot}, p, 0.8, evenly)
	if want := []string{"red", "blue", "red", "blue", "blue", "black"}; !slices.Equal(names, want) && !slices.Equal(names, []string{"red", "blue", "blue", "red", "blue", "black"}) {
		t.Fatalf("the inks are %q, want %q", names, want)
	}
	if at := pieces[0].End(); at.Dist(paths.Point{X: 19.4, Y: 35}) > 1e-6 || pieces[1].Start() != at {
		t.Errorf("the line is cut at %v, not in its corner", at)
	}
	for _, s := range pieces[2:4] {
		if math.Abs(s.Length()-10*math.Pi) > 1 || math.Abs(s.Start().X-30) > 0.4 || math.Abs(s.End().X-30) > 0.4 {
			t.Errorf("half of the ring goes from %v to %v, %.2f mm", s.Start(), s.End(), s.Length())
		}
	}
}

// TestDivideLosesNothing divides any line over any stripes of ink: the pieces are as long
// as the line, meet each other, and none is left without an ink.
func TestDivideLosesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inks := []Tint{None, Plain, of(200, 40, 40), of(40, 60, 200), of(40, 160, 60)}
		stripes := rapid.SliceOfN(rapid.SampledFrom(inks), 12, 12).Draw(t, "stripes")
		p := Plane{W: 120, H: 60, MM: 0.5, Tints: make([]Tint, 120*60)}
		for i := range p.Tints {
			p.Tints[i] = stripes[i%p.W/10]
		}
		places := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) paths.Point {
			return paths.Point{X: rapid.Float64Range(1, 59).Draw(t, "x"), Y: rapid.Float64Range(1, 29).Draw(t, "y")}
		}), 2, 6).Draw(t, "places")
		if rapid.Bool().Draw(t, "closed") {
			places = append(places, places[0])
		}
		s := paths.Polyline(places...)
		pieces, names := Divide([]paths.Stroke{s}, p, 0.7, evenly)
		sum := 0.0
		for i, piece := range pieces {
			sum += piece.Length()
			if names[i] == "" || i > 0 && piece.Start().Dist(pieces[i-1].End()) > 1e-3 {
				t.Fatalf("piece %d, in %q, begins at %v, %v", i, names[i], piece.Start(), pieces)
			}
		}
		if math.Abs(sum-s.Length()) > 1e-3 {
			t.Fatalf("the pieces are %v mm long, the line %v", sum, s.Length())
		}
	})
}
