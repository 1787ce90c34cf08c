package papers

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flag"

	"weftplot/paths"
)

var keep = flag.String("keep-papers", "", "a folder for one A4 page of each kind, to be looked at")

// TestKeepPapers writes pages to be looked at.
func TestKeepPapers(t *testing.T) {
	if *keep == "" {
		t.Skip("give -keep-papers a folder")
	}
	for _, k := range Kinds() {
		for seed := uint64(1); seed <= 2; seed++ {
			p := k.Make(seed, 210, 297)
			var b bytes.Buffer
			if err := png.Encode(&b, p.Picture); err != nil {
				t.Fatal(err)
			}
			name := strings.ReplaceAll(k.Name, " ", "-") + string(rune('0'+seed)) + ".png"
			if err := os.WriteFile(filepath.Join(*keep, name), b.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
			t.Logf("%s: %d strokes, %.2f mm wide", name, len(p.Drawn), p.Width)
		}
	}
}

// TestInkLiesOnTheStrokes compares the light on the strokes of scans with the
// light 2.5 widths beside them.
func TestInkLiesOnTheStrokes(t *testing.T) {
	for _, k := range Kinds() {
		if k.photo {
			continue
		}
		p := k.Make(3, 60, 50)
		on, off, n := 0.0, 0.0, 0.0
		for _, s := range p.Drawn {
			for i := 2; i < len(s)-2; i++ {
				a, u := s[i].Start(), s[i].Tangent(0)
				on += lightAt(p.Picture, a)
				off += lightAt(p.Picture, a.Add(at(-u.Y, u.X).Mul(p.Width*0.9)))
				n++
			}
		}
		if n < 100 || on/n > off/n-0.05 {
			t.Errorf("%s: light on the strokes %.2f, beside them %.2f, at %v places", k.Name, on/n, off/n, n)
		}
	}
}

func lightAt(m image.Image, p paths.Point) float64 {
	const mm = 25.4 / DPI
	b := m.Bounds()
	x, y := int(p.X/mm), b.Dy()-1-int(math.Floor(p.Y/mm))
	r, g, bl, _ := m.At(min(max(x, 0), b.Dx()-1), min(max(y, 0), b.Dy()-1)).RGBA()
	return float64(r+g+bl) / (3 * 65535)
}

func TestSameSeedSamePage(t *testing.T) {
	k := Kinds()[0]
	a, b := k.Make(7, 50, 40), k.Make(7, 50, 40)
	if !bytes.Equal(a.Picture.(*image.NRGBA).Pix, b.Picture.(*image.NRGBA).Pix) {
		t.Error("the same seed gives two pictures")
	}
	if c := k.Make(8, 50, 40); bytes.Equal(a.Picture.(*image.NRGBA).Pix, c.Picture.(*image.NRGBA).Pix) {
		t.Error("two seeds give the same picture")
	}
}

// TestPhoneSeesTheSheet takes pixels through the camera and back by projecting
// the sheet's plane forwards, with the lens's formula as it stands.
func TestPhoneSeesTheSheet(t *testing.T) {
	k := Kinds()[len(Kinds())-1]
	p := k.Make(1, 60, 40)
	if p.Sheet != [2]float64{60, 40} && math.Abs(p.Sheet[0]-60)+math.Abs(p.Sheet[1]-40) > 0.2 {
		t.Fatalf("the sheet is %v mm", p.Sheet)
	}
	cam := phone{w: 2000, h: 1500, focal: 2100, bending: 0.03, mid: [3]float64{3, -2, 300}, across: [3]float64{1, 0, 0}, along: [3]float64{0, math.Cos(0.2), math.Sin(0.2)}}
	for _, px := range [][2]float64{{1000, 750}, {10, 20}, {1900, 100}, {300, 1400}} {
		q := cam.sees(px[0], px[1])
		var at3 [3]float64
		for i := range at3 {
			at3[i] = cam.mid[i] + q.X*cam.across[i] + q.Y*cam.along[i]
		}
		x, y := cam.focal*at3[0]/at3[2], cam.focal*at3[1]/at3[2]
		r := math.Hypot(x, y) / 1250 // the half diagonal
		x, y = 1000+x*(1+0.03*r*r), 750-y*(1+0.03*r*r)
		if math.Hypot(x-px[0], y-px[1]) > 0.01 {
			t.Errorf("pixel %v shows %v, which is seen at %.3f, %.3f", px, q, x, y)
		}
	}
}

// TestJudgeCountsRegions judges a circle with a cross in it, and a square.
func TestJudgeCountsRegions(t *testing.T) {
	circle := paths.Stroke{paths.Circle(at(20, 20), 9)}
	across, down := paths.Polyline(at(11, 20), at(29, 20)), paths.Polyline(at(20, 11), at(20, 29))
	square := paths.Polyline(at(40, 10), at(60, 10), at(60, 30), at(40, 30), at(40, 10))
	page := Page{Width: 0.8, Drawn: []paths.Stroke{circle, across, down, square}}
	cut := paths.Polyline(at(20, 11), at(20, 19), at(20, 28)) // 1 mm short
	broken := paths.Polyline(at(45, 10), at(60, 10), at(60, 30), at(40, 30), at(40, 10), at(44.5, 10))
	for _, c := range []struct {
		name           string
		found          []paths.Stroke
		listed         []paths.Point
		open, unlisted int
	}{
		{"as drawn", page.Drawn, nil, 0, 0},
		{"a line ends short in the circle", []paths.Stroke{circle, across, cut, square}, nil, 2, 2},
		{"and it is listed", []paths.Stroke{circle, across, cut, square}, []paths.Point{at(20, 28.5)}, 2, 0},
		{"the square is broken", []paths.Stroke{circle, across, down, broken}, []paths.Point{at(50, 20)}, 1, 1},
		{"and it is listed", []paths.Stroke{circle, across, down, broken}, []paths.Point{at(44.8, 10)}, 1, 0},
		{"nothing is found", nil, nil, 5, 5},
		{"a hair's gap", []paths.Stroke{circle, across, paths.Polyline(at(20, 11), at(20, 28.9)), square}, nil, 0, 0},
	} {
		v := page.Judge(c.found, c.listed)
		if v.Regions != 5 || v.Open != c.open || v.Unlisted != c.unlisted {
			t.Errorf("%s: %d regions, %d open, %d unlisted; want 5, %d, %d", c.name, v.Regions, v.Open, v.Unlisted, c.open, c.unlisted)
		}
	}
}

func TestUnseenSeedsAreOthers(t *testing.T) {
	seen := map[uint64]bool{}
	for _, s := range append(Unseen(5, 10), Unseen(6, 10)...) {
		if seen[s] || s <= 1000 {
			t.Errorf("seed %d comes twice, or is one that is looked at", s)
		}
		seen[s] = true
	}
}
