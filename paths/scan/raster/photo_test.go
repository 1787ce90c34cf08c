package raster

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// camera is a pinhole camera that looks at the middle of a sheet: the world's
// plane z = 0 is the table, x to the right and y down as one stands before it,
// in mm.
type camera struct {
	w, h        int     // pixels
	focal       float64 // pixels
	far         float64 // mm to the sheet
	tilt, swing float64 // radians: from straight above, towards the viewer and sideways
	turn        float64 // of the picture
}

var thorough = flag.Bool("thorough", false, "flatten every photo, and not half of them")

// sees returns the map from the plane to pixels, composed from a rotation, a
// translation and the focal length of a camera, independently of how the
// package finds a homography.
func (c camera) sees(middle paths.Point) homography {
	sx, cx := math.Sincos(c.tilt)
	sy, cy := math.Sincos(c.swing)
	sz, cz := math.Sincos(c.turn)
	// Columns of Rz·Rx·Ry for the axes x and y of the plane.
	r1 := [3]float64{cz*cy - sz*sx*sy, sz*cy + cz*sx*sy, -cx * sy}
	r2 := [3]float64{-sz * cx, cz * cx, sx}
	t := [3]float64{
		-r1[0]*middle.X - r2[0]*middle.Y,
		-r1[1]*middle.X - r2[1]*middle.Y,
		c.far - r1[2]*middle.X - r2[2]*middle.Y,
	}
	x0, y0 := float64(c.w)/2, float64(c.h)/2
	return homography{
		c.focal*r1[0] + x0*r1[2], c.focal*r2[0] + x0*r2[2], c.focal*t[0] + x0*t[2],
		c.focal*r1[1] + y0*r1[2], c.focal*r2[1] + y0*r2[2], c.focal*t[1] + y0*t[2],
		r1[2], r2[2], t[2],
	}
}

// scene is a sheet with dots on a table.
type scene struct {
	sheet   Sheet
	dots    []paths.Point // mm from its upper left corner, y down
	dot     float64       // radius, mm
	table   float64       // light, 0 to 1
	falloff float64       // of the light from the middle to the corners of the picture
	noise   float64       // standard deviation in levels
	blur    int           // pixels
	shadow  float64       // of the sheet on the table to its right, mm wide
	seed    uint64
}

// dotted returns a scene with a grid of dots and a border line.
func dotted(s Sheet) scene {
	out := scene{sheet: s, dot: 1.5, table: 0.25, seed: 1}
	for i := range 5 {
		for j := range 7 {
			out.dots = append(out.dots, paths.Point{X: s.W * (0.1 + 0.2*float64(i)), Y: s.H * (0.08 + 0.14*float64(j))})
		}
	}
	return out
}

// light returns the light of the table and the sheet at a place.
func (s scene) light(p paths.Point) float64 {
	if p.X < 0 || p.Y < 0 || p.X > s.sheet.W || p.Y > s.sheet.H {
		if p.Y > 5 && p.Y < s.sheet.H && p.X > s.sheet.W && p.X < s.sheet.W+s.shadow {
			return s.table / 2
		}
		return s.table
	}
	for _, d := range s.dots {
		if p.Dist(d) < s.dot {
			return 0.25
		}
	}
	// A border line, 0.8 mm wide, 9 mm from the edges.
	in := min(p.X, p.Y, s.sheet.W-p.X, s.sheet.H-p.Y)
	if in > 9 && in < 9.8 {
		return 0.35
	}
	return 0.92
}

// photo takes the picture: four rays a pixel, then blur, falling light and noise.
func (s scene) photo(c camera) (grey, homography) {
	see := c.sees(paths.Point{X: s.sheet.W / 2, Y: s.sheet.H / 2})
	back := inverse(see)
	rng := rand.New(rand.NewPCG(s.seed, 2))
	val := make([]float64, c.w*c.h)
	for y := range c.h {
		for x := range c.w {
			var sum float64
			for _, d := range [4][2]float64{{0.375, 0.125}, {0.875, 0.375}, {0.125, 0.625}, {0.625, 0.875}} {
				sum += s.light(back.apply(paths.Point{X: float64(x) + d[0], Y: float64(y) + d[1]})) / 4
			}
			val[y*c.w+x] = sum
		}
	}
	for range s.blur {
		val = boxed(boxed(val, c.w, c.h, 1), c.w, c.h, c.w)
	}
	g := newGrey(c.w, c.h)
	for y := range c.h {
		for x := range c.w {
			dx, dy := float64(x)/float64(c.w)-0.4, float64(y)/float64(c.h)-0.45
			v := 255*val[y*c.w+x]*(1-s.falloff*(dx*dx+dy*dy)*2) + s.noise*rng.NormFloat64()
			g.pix[y*c.w+x] = uint8(min(max(v, 0), 255) + 0.5)
		}
	}
	return g, see
}

// boxed averages each value with its two neighbours a step apart.
func boxed(v []float64, w, h, step int) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		a, b := max(0, i-step), min(len(v)-1, i+step)
		out[i] = (v[a] + v[i] + v[b]) / 3
	}
	return out
}

// inverse returns the inverse of h by cofactors.
func inverse(h homography) homography {
	return homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
}

// dotAt returns the centroid of the dark near a place of the page, in mm from
// its upper left corner.
func dotAt(p Page, near paths.Point, reach float64) paths.Point {
	var sum float64
	var at paths.Point
	for y := int((near.Y - reach) / p.MM); y <= int((near.Y+reach)/p.MM); y++ {
		for x := int((near.X - reach) / p.MM); x <= int((near.X+reach)/p.MM); x++ {
			if x < 0 || y < 0 || x >= p.W || y >= p.H {
				continue
			}
			// The rest of the ring about the dot is its paper.
			d := 160 - float64(p.Light[y*p.W+x])
			if d > 0 {
				sum += d
				at = at.Add(paths.Point{X: (float64(x) + 0.5) * p.MM, Y: (float64(y) + 0.5) * p.MM}.Mul(d))
			}
		}
	}
	return at.Mul(1 / sum)
}

var photos = []struct {
	name string
	at   camera
	edit func(*scene)
}{
	{"straight above", camera{w: 1200, h: 900, focal: 975, far: 420, turn: 0.02}, func(*scene) {}},
	{"askew, noisy, uneven light", camera{w: 1200, h: 900, focal: 940, far: 430, tilt: -0.25, swing: 0.3, turn: 0.12},
		func(s *scene) { s.noise, s.falloff, s.blur = 5, 0.8, 2 }},
	{"tilted", camera{w: 1200, h: 900, focal: 975, far: 430, tilt: 0.35, swing: 0.1, turn: -0.05}, func(*scene) {}},
	{"a shadow beside the sheet", camera{w: 1200, h: 900, focal: 975, far: 430, tilt: 0.2, turn: 0.05},
		func(s *scene) { s.shadow, s.noise, s.blur = 12, 3, 1 }},
	{"upright camera", camera{w: 900, h: 1200, focal: 975, far: 470, tilt: 0.3, turn: -0.06},
		func(s *scene) { s.noise, s.blur = 4, 1 }},
	{"a light table", camera{w: 1200, h: 900, focal: 975, far: 430, tilt: 0.2, swing: -0.15},
		func(s *scene) { s.table, s.noise, s.blur = 0.6, 3, 1 }},
}

// TestPhotoIsFlattened takes photos of a sheet with known marks and finds the
// marks on the flat page to within 0.3 mm over A4.
func TestPhotoIsFlattened(t *testing.T) {
	for i, tt := range photos {
		t.Run(tt.name, func(t *testing.T) {
			if !*thorough && i%2 == 0 {
				t.Skip("-thorough flattens it")
			}
			sheet := Sheet{297, 210}
			if tt.at.h > tt.at.w {
				sheet = sheet.turned()
			}
			s := dotted(sheet)
			tt.edit(&s)
			g, see := s.photo(tt.at)
			p, _, found, err := flatten("photo", g, Sheet{210, 297}, nil)
			if err != nil {
				t.Fatal(err)
			}
			if found.Sheet != sheet {
				t.Errorf("the sheet lies %v, found %v", sheet, found.Sheet)
			}
			var corner float64
			for i, c := range []paths.Point{{}, {X: sheet.W}, {X: sheet.W, Y: sheet.H}, {Y: sheet.H}} {
				corner = max(corner, see.apply(c).Dist(found.Corners[i]))
			}
			var worst, sum float64
			for _, d := range s.dots {
				off := dotAt(p, d, s.dot+1).Dist(d)
				worst, sum = max(worst, off), sum+off
			}
			t.Logf("corners to %.2f px; dots to %.3f mm, mean %.3f mm; %.0f dpi, bow %.3f mm, proportion %.3f of %.3f",
				corner, worst, sum/float64(len(s.dots)), found.DPI, found.BowMM, found.Proportion, sheet.W/sheet.H)
			if worst > 0.3 {
				t.Errorf("a dot is %.2f mm from its place", worst)
			}
			if math.Abs(found.Proportion*sheet.H/sheet.W-1) > 0.03 {
				t.Errorf("proportion %.3f, want %.3f", found.Proportion, sheet.W/sheet.H)
			}
			if len(found.notes()) > 1 {
				t.Errorf("notes: %q", found.notes())
			}
		})
	}
}

// TestNoSheetIsSaid decodes photos in which no sheet can be found: each must
// give a fault that says how to take one, never a page.
func TestNoSheetIsSaid(t *testing.T) {
	s := dotted(Sheet{297, 210})
	near := camera{w: 800, h: 600, focal: 900, far: 320} // the sheet runs out of view
	cut, _ := s.photo(near)
	s.table = 0.91
	white, _ := s.photo(camera{w: 800, h: 600, focal: 650, far: 430})
	noise := newGrey(800, 600)
	rng := rand.New(rand.NewPCG(3, 4))
	for i := range noise.pix {
		noise.pix[i] = uint8(rng.IntN(256))
	}
	for name, tt := range map[string]struct {
		photo grey
		says  string
	}{
		"cut off":     {cut, "runs out of the photo"},
		"white table": {white, ""},
		"noise":       {noise, ""},
		"black":       {newGrey(800, 600), "no sheet of paper"},
	} {
		_, _, found, err := flatten("photo.jpg", tt.photo, Sheet{210, 297}, nil)
		var f *fault.Error
		if !errors.As(err, &f) {
			t.Errorf("%s: found %v, error %v", name, found, err)
			continue
		}
		if f.Where != "photo.jpg" || !strings.Contains(f.Do, "[corners]") || !strings.Contains(f.What, tt.says) {
			t.Errorf("%s: %+v", name, f)
		}
	}
}

func TestCornersByHand(t *testing.T) {
	s := dotted(Sheet{297, 210})
	s.table = 0.92 // nothing to find
	g, see := s.photo(camera{w: 1200, h: 900, focal: 975, far: 430, tilt: 0.3, turn: 0.05})
	var at []paths.Point
	for _, c := range []paths.Point{{X: 297, Y: 210}, {}, {Y: 210}, {X: 297}} { // in any order
		at = append(at, see.apply(c))
	}
	p, _, found, err := flatten("photo", g, Sheet{210, 297}, at)
	if err != nil || !found.ByHand {
		t.Fatal(found, err)
	}
	for _, d := range s.dots {
		if off := dotAt(p, d, s.dot+1).Dist(d); off > 0.1 {
			t.Errorf("the dot at %v is off by %.3f mm", d, off)
		}
	}
	for name, bad := range map[string][]paths.Point{
		"three":    at[:3],
		"far off":  {{X: -455, Y: 3}, {X: 900, Y: 0}, {X: 900, Y: 700}, {X: 0, Y: 700}},
		"outside":  {{X: -440, Y: 3}, {X: 300, Y: 0}, {X: 300, Y: 700}, {X: -440, Y: 700}},
		"one line": {{X: 1, Y: 1}, {X: 5, Y: 5}, {X: 9, Y: 9}, {X: 20, Y: 20}},
		"the same": {at[0], at[0], at[0], at[0]},
		"dented":   {{X: 100, Y: 100}, {X: 900, Y: 100}, {X: 500, Y: 140}, {X: 500, Y: 600}},
	} {
		if _, _, _, err := flatten("photo", g, Sheet{210, 297}, bad); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestCornersOutside cuts a photo off, and gives the corners where they would be: the dots
// that are left lie where they lie in the whole photo, and beyond it the sheet is empty.
func TestCornersOutside(t *testing.T) {
	s := dotted(Sheet{297, 210})
	g, see := s.photo(camera{w: 1200, h: 900, focal: 975, far: 430, tilt: 0.1, turn: 0.05})
	cut := paths.Rect{Min: see.apply(paths.Point{X: 40, Y: 30}), Max: see.apply(paths.Point{X: 280, Y: 190})}
	x0, y0 := int(cut.Min.X), int(min(cut.Min.Y, cut.Max.Y))
	part := newGrey(int(cut.Max.X)-x0, int(max(cut.Min.Y, cut.Max.Y))-y0)
	for y := range part.h {
		copy(part.pix[y*part.w:][:part.w], g.pix[(y+y0)*g.w+x0:])
	}
	off := paths.Point{X: float64(x0), Y: float64(y0)}
	var at []paths.Point
	for _, c := range []paths.Point{{}, {X: 297}, {X: 297, Y: 210}, {Y: 210}} {
		at = append(at, see.apply(c).Sub(off))
	}
	p, onto, found, err := flatten("photo", part, Sheet{297, 210}, at)
	if err != nil || found.Beyond < 0.1 || found.Beyond > 0.5 || len(found.notes()) == 0 {
		t.Fatal(found, err)
	}
	frame := paths.Rect{Max: paths.Point{X: float64(part.w), Y: float64(part.h)}}
	left := 0
	for _, d := range s.dots {
		seen := see.apply(d).Sub(off)
		if !frame.Grow(-12).Contains(seen) {
			continue
		}
		left++
		if off := dotAt(p, d, s.dot+1).Dist(d); off > 0.1 {
			t.Errorf("the dot at %v is off by %.3f mm", d, off)
		}
	}
	if left < 5 || left == len(s.dots) {
		t.Fatalf("%d dots of %d are left", left, len(s.dots))
	}
	for i, v := range p.Light {
		if q := onto(paths.Point{X: float64(i % p.W), Y: float64(i / p.W)}); !frame.Grow(3).Contains(q) && v < 100 {
			t.Fatalf("there is a mark at %v, outside the photo", q)
		}
	}
}

// TestMadeUpSizes doubts the size of pictures that have the proportion of a sheet and the
// size of none: sizes by ISO 216:2007, table 1, and ANSI/ASME Y14.1.
func TestMadeUpSizes(t *testing.T) {
	for _, c := range []struct {
		w, h int // pixels
		dpi  float64
		says string // "" for no doubt
	}{
		{2480, 3508, 300, ""}, // a4
		{3508, 2480, 300, ""},
		{1754, 2480, 300, ""},            // a5 at 300, or a4 at 210
		{2480, 3508, 72, "[dpi] 300;"},   // a sheet of 875 x 1238 mm
		{1240, 1754, 96, "[dpi] 150;"},   // 328 x 464 mm
		{1275, 1650, 96, "[dpi] 150;"},   // letter
		{2550, 3300, 300, ""},            // letter
		{2550, 4200, 300, ""},            // legal
		{2550, 4200, 72, "of legal, "},   //
		{3300, 5100, 72, "of tabloid, "}, //
		{4032, 3024, 72, ""},             // a camera's proportion, 4 : 3
		{2000, 2000, 72, ""},
	} {
		w, h := float64(c.w)/c.dpi*25.4, float64(c.h)/c.dpi*25.4
		if got := madeUp(w, h, c.dpi); (got != "") != (c.says != "") || !strings.Contains(got, c.says) {
			t.Errorf("%d x %d at %v: %q", c.w, c.h, c.dpi, got)
		}
	}
}

// TestSheets checks the named sheets: ISO 216:2007, table 1, and ANSI/ASME
// Y14.1 (A and B sizes, 8.5 x 11 in and 11 x 17 in; legal 8.5 x 14 in by common
// practice).
func TestSheets(t *testing.T) {
	for text, want := range map[string]Sheet{
		"a4": {210, 297}, "A3": {297, 420}, "a5": {148, 210}, "a2": {420, 594},
		"letter": {8.5 * 25.4, 11 * 25.4}, "Legal": {8.5 * 25.4, 14 * 25.4}, "tabloid": {11 * 25.4, 17 * 25.4},
		"30x40cm": {300, 400}, "30cm x 40cm": {300, 400}, "12inx18in": {304.8, 457.2}, "12-1/2x18in": {317.5, 457.2},
		"2ftx50cm": {609.6, 500},
	} {
		got, err := ParseSheet(text)
		if err != nil || math.Abs(got.W-want.W) > 1e-9 || math.Abs(got.H-want.H) > 1e-9 {
			t.Errorf("ParseSheet(%q) = %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "a9", "x", "30x40", "-3x4cm", "0x0cm", "1x1mm", "9x9m", "1x50cm", "30x40x50cm", "NaNxNaNcm"} {
		got, err := ParseSheet(text)
		var f *fault.Error
		if !errors.As(err, &f) || f.Do == "" {
			t.Errorf("ParseSheet(%q) = %v, %v", text, got, err)
		}
	}
	if got := fmt.Sprint(Sheet{297, 210}); got != "a4, 297 x 210 mm" {
		t.Error(got)
	}
}

// TestWrongSheetIsRefused says letter paper of a photo of a sheet of A4, and the right
// size; by hand a person may say anything.
func TestWrongSheetIsRefused(t *testing.T) {
	s := dotted(Sheet{297, 210})
	g, _ := s.photo(camera{w: 1000, h: 750, focal: 810, far: 430, tilt: 0.2})
	for _, c := range []struct {
		sheet Sheet
		ok    bool
	}{{Sheet{210, 297}, true}, {Sheet{215.9, 279.4}, false}, {Sheet{205, 297}, true}, {Sheet{200, 200}, false}} {
		_, _, found, err := flatten("photo", g, c.sheet, nil)
		if (err == nil) != c.ok {
			t.Errorf("%v: error %v", c.sheet, err)
		}
		if err != nil {
			if _, _, _, err := flatten("photo", g, c.sheet, found.Corners[:]); err != nil {
				t.Errorf("%v, by hand: %v", c.sheet, err)
			}
		}
	}
}
