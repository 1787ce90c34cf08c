package scan

import (
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
	"weftplot/paths/scan/truth"
)

// filled inks the inside of a closed line on a page, by the even-odd rule.
func filled(p *raster.Page, grey uint8, s paths.Stroke) {
	pts := s.Flatten(0.01)
	for i := range p.Light {
		x, y := (float64(i%p.W)+0.5)*p.MM, (float64(p.H-i/p.W)-0.5)*p.MM
		in := false
		for k := 1; k < len(pts); k++ {
			a, b := pts[k-1], pts[k]
			if (a.Y > y) != (b.Y > y) && x < a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
		if in {
			p.Light[i] = grey
		}
	}
}

// TestBlobsAreOutlined draws a filled square and a filled circle, one of them
// with a line that ends on it; their edges must be drawn.
func TestBlobsAreOutlined(t *testing.T) {
	square := paths.Polyline(pt(8, 12), pt(20, 12), pt(20, 24), pt(8, 24), pt(8, 12))
	circle := paths.Stroke{paths.Circle(pt(40, 20), 8)}
	line := paths.Polyline(pt(20, 18), pt(28, 18))
	page, _ := flatScan(0.8).Of(sheet(line, paths.Polyline(pt(10, 35), pt(50, 35))), 300)
	filled(&page, 30, square)
	filled(&page, 30, circle)
	got, err := Trace(page, Options{})
	if err != nil {
		t.Fatal(err)
	}
	blobs := 0
	for _, f := range got.Finds {
		if f.Kind == BlobOutlined {
			blobs++
		}
	}
	want := []paths.Stroke{square, circle, line, paths.Polyline(pt(10, 35), pt(50, 35))}
	s := truth.Compare(got.Strokes, want)
	t.Log(s)
	if blobs != 2 || len(got.Strokes) != 4 || s.P95 > 0.12 || s.Missing > 0.3 || s.Spurious > 0.3 {
		t.Errorf("%d areas, %d strokes: %v", blobs, len(got.Strokes), s)
	}
}

// TestOutlineOfAPixel goes round single pixels, two that touch at a corner, and
// a ring: the length of the outline is the number of pixel sides.
func TestOutlineOfAPixel(t *testing.T) {
	for _, c := range []struct {
		rows  []string
		sides []int
	}{
		{[]string{"#"}, []int{4}},
		{[]string{"##"}, []int{6}},
		{[]string{"#.", ".#"}, []int{8}},
		{[]string{"###", "#.#", "###"}, []int{12, 4}},
	} {
		b := blobs{drawn(c.rows...)}
		seen := map[int]bool{}
		var got []int
		for i, v := range b.Pixels {
			if v != 0 && !seen[i] && !b.has(i%b.W, i/b.W-1) {
				got = append(got, len(b.follow(i, seen)))
			}
		}
		if len(got) != len(c.sides) {
			t.Errorf("%q has %d edges, want %d", c.rows, len(got), len(c.sides))
			continue
		}
		for i := range got {
			if got[i] != c.sides[i] {
				t.Errorf("%q: edge %d has %d sides, want %d", c.rows, i, got[i], c.sides[i])
			}
		}
	}
}

// drawn makes a mask of rows of text with a bare pixel around; # is ink.
func drawn(rows ...string) skeleton.Plane {
	w := 0
	for _, r := range rows {
		w = max(w, len(r))
	}
	p := skeleton.NewPlane(w+2, len(rows)+2)
	for y, r := range rows {
		for x, c := range r {
			if c == '#' {
				p.Pixels[(y+1)*p.W+x+1] = 1
			}
		}
	}
	return p
}

// TestPunchedHoles scans a punched sheet on a dark lid: its holes are no drawing.
func TestPunchedHoles(t *testing.T) {
	page, drawn := truth.Scan(0.7).Of(truth.Drawing{Name: "punched", W: 60, H: 110, Strokes: []paths.Stroke{
		paths.Polyline(pt(25, 20), pt(50, 90)), {paths.Circle(pt(40, 30), 3)},
	}}, 150)
	for i := range page.Light {
		at := pt((float64(i%page.W)+0.5)*page.MM, (float64(page.H-i/page.W)-0.5)*page.MM)
		if min(at.Dist(pt(12, 15)), at.Dist(pt(12, 95))) < 3 {
			page.Light[i] = 30
		}
	}
	got, err := Trace(page, Options{})
	if err != nil || len(got.Strokes) != 2 || got.Holes != 2 {
		t.Fatalf("%d holes, %d strokes: %v", got.Holes, len(got.Strokes), err)
	}
	if s := truth.Compare(got.Strokes, drawn.Strokes); s.Missing > 0 || s.Spurious > 0 {
		t.Error(s)
	}
	for _, f := range got.Finds {
		if f.Kind == BlobOutlined {
			t.Errorf("%v: %s", f.At, f.Message)
		}
	}
}
