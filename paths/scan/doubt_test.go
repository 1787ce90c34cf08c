package scan

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
)

// doubtsOf are the doubts whose message holds some words.
func doubtsOf(finds []Find, words string) []Find {
	var out []Find
	for _, f := range finds {
		if f.Kind == Doubtful && strings.Contains(f.Message, words) {
			out = append(out, f)
		}
	}
	return out
}

// TestUndrawnInkIsListed leaves some of the thinned ink without lines.
func TestUndrawnInkIsListed(t *testing.T) {
	const mm, width = 0.1, 6.0
	long, arm, bit := paths.Polyline(pt(20, 50), pt(280, 50)), paths.Polyline(pt(150, 70), pt(150, 170)), paths.Polyline(pt(200, 70), pt(206, 70))
	for _, c := range []struct {
		name       string
		ink, lines []paths.Stroke
		at         []paths.Point
		mm         float64
	}{
		{"all drawn", []paths.Stroke{long, arm}, []paths.Stroke{long, arm}, nil, 0},
		{"drawn half a width off", []paths.Stroke{long}, []paths.Stroke{long.Transform(paths.Translate(pt(0, 3)))}, nil, 0},
		{"an arm", []paths.Stroke{long, arm}, []paths.Stroke{long}, []paths.Point{pt(150, 120)}, 10},
		{"the end of a line", []paths.Stroke{long}, []paths.Stroke{paths.Polyline(pt(20, 50), pt(200, 50))}, []paths.Point{pt(240, 50)}, 7.4},
		{"a bit shorter than it would take", []paths.Stroke{long, bit}, []paths.Stroke{long}, nil, 0},
	} {
		thin := skeleton.NewPlane(300, 200)
		for _, s := range c.ink {
			for _, p := range resample(s.Flatten(0.2), 0.5) {
				thin.Pixels[int(p.Y)*thin.W+int(p.X)] = 1
			}
		}
		tr := tracer{mm: mm, width: width}
		tr.out.Strokes = c.lines
		tr.listUndrawn(thin, nil)
		got := doubtsOf(tr.out.Finds, "not drawn")
		if len(got) != len(c.at) || len(tr.out.Finds) != len(got) {
			t.Errorf("%s: listed %v, want %v", c.name, tr.out.Finds, c.at)
			continue
		}
		for i, f := range got {
			if f.At.Dist(c.at[i]) > width || math.Abs(f.LengthMM-c.mm) > 0.7 {
				t.Errorf("%s: %.1f mm at %v, want %v mm at %v", c.name, f.LengthMM, f.At, c.mm, c.at[i])
			}
		}
	}
}

// shaded darkens a page where inside says so: what is left of its light.
func shaded(p *raster.Page, left float64, inside func(x, y float64) bool) {
	for i, l := range p.Light {
		if x, y := (float64(i%p.W)+0.5)*p.MM, (float64(p.H-1-i/p.W)+0.5)*p.MM; inside(x, y) {
			p.Light[i] = uint8(float64(l) * left)
		}
	}
}

// TestReasonsOfDoubts traces pages that have the cause of a doubt and pages that have
// not. No doubt is of a cause that the page has not.
func TestReasonsOfDoubts(t *testing.T) {
	line := func(x, y float64) bool { return x > 10 && x < 50 && math.Abs(y-28) < 0.4 }
	for _, c := range []struct {
		name, words string // what is said; "" where nothing is
		shade       func(p *raster.Page)
	}{
		{"bare", "", func(*raster.Page) {}},
		{"a line as dark as the others", "", func(p *raster.Page) { shaded(p, 0.2, line) }},
		{"a pale line", "paler than the others", func(p *raster.Page) { shaded(p, 0.8, line) }},
		{"a very pale line", "pale mark", func(p *raster.Page) { shaded(p, 0.85, line) }},
		{"light that falls off", "", func(p *raster.Page) {
			for i := range p.Light {
				p.Light[i] = uint8(float64(p.Light[i]) * (1 - 0.3*float64(i%p.W)/float64(p.W)))
			}
		}},
		{"a band of shade", "a tone that ends here", func(p *raster.Page) { shaded(p, 0.75, func(_, y float64) bool { return math.Abs(y-30) < 1 }) }},
	} {
		page, _ := flatScan(0.8).Of(sheet(paths.Polyline(pt(5, 8), pt(55, 9)), paths.Polyline(pt(8, 18), pt(52, 15))), 150)
		c.shade(&page)
		got, err := Trace(page, Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		all := doubtsOf(got.Finds, "")
		if right := doubtsOf(all, c.words); len(right) != len(all) || (c.words == "") != (len(all) == 0) {
			t.Errorf("%s: the doubts are %v, want those of %q", c.name, all, c.words)
		}
	}
}

// TestGrouped puts doubts together that say the same of one place.
func TestGrouped(t *testing.T) {
	doubt := func(x, mm float64, message string) Find {
		return Find{Kind: Doubtful, At: pt(x, 10), LengthMM: mm, Message: message}
	}
	for _, c := range []struct {
		name string
		in   []Find
		want []string
		at   float64 // where the first is
	}{
		{"none", nil, nil, 0},
		{"one", []Find{doubt(3, 1, "a")}, []string{"a"}, 3},
		{"a chain, about the longest, whatever its numbers", []Find{doubt(0, 1, "1 mm"), doubt(4, 7, "7 mm"), doubt(8, 2, "2 mm")},
			[]string{"7 mm (and 2 more like it about there)"}, 4},
		{"apart", []Find{doubt(0, 1, "a"), doubt(6, 1, "a")}, []string{"a", "a"}, 0},
		{"areas left open, each at its place", []Find{doubt(0, 1, openArea), doubt(3, 1, openArea)}, []string{openArea, openArea}, 0},
		{"of two kinds", []Find{doubt(0, 1, "a"), doubt(1, 1, "b")}, []string{"a", "b"}, 0},
		{"no doubts", []Find{{Kind: SpeckRemoved, At: pt(1, 0), Message: "s"}, {Kind: SpeckRemoved, At: pt(2, 0), Message: "s"}}, []string{"s", "s"}, 1},
	} {
		got := grouped(c.in)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v", c.name, got)
			continue
		}
		for i, f := range got {
			if f.Message != c.want[i] || i == 0 && f.At.X != c.at {
				t.Errorf("%s: %q at %v, want %q", c.name, f.Message, f.At, c.want[i])
			}
		}
	}
}
