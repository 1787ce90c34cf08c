package skeleton

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
	"weftplot/paths/scan/raster"
)

// TestFlatFieldOfUnevenLight: paper under light that falls off comes out even,
// also under a dark square wider than the cells that the light is measured in.
func TestFlatFieldOfUnevenLight(t *testing.T) {
	p := blank(900, 600, 0)
	for i := range p.Light {
		x, y := float64(i%p.W)/float64(p.W), float64(i/p.W)/float64(p.H)
		l := 240 * (1 - 0.4*(x*x+y*y)/2)
		if i%p.W > 300 && i%p.W < 420 && i/p.W > 200 && i/p.W < 320 {
			l *= 0.2
		}
		p.Light[i] = uint8(l)
	}
	flat := EvenLight(p, CellMM)
	for _, at := range [][3]int{{20, 20, Paper}, {880, 580, Paper}, {450, 560, Paper}, {295, 260, Paper}, {360, 260, Paper / 5}} {
		if got := int(flat.Pixels[at[1]*p.W+at[0]]); got < at[2]-10 || got > at[2]+10 {
			t.Errorf("at %d, %d the light is %d, want about %d", at[0], at[1], got, at[2])
		}
	}
}

// TestGaussIsABell compares the blur of a small square with the normal
// distribution. The weights are in 256ths and at whole pixels, so it agrees to
// a few steps of grey.
func TestGaussIsABell(t *testing.T) {
	for _, sigma := range []float64{0.8, 1.5, 3} {
		p := NewPlane(41, 41)
		// A square, because a single point would be too faint once spread out.
		for y := 18; y <= 22; y++ {
			for x := 18; x <= 22; x++ {
				p.Pixels[y*41+x] = 255
			}
		}
		phi := func(x float64) float64 { return math.Erf(x/sigma/math.Sqrt2) / 2 }
		got := Blur(p, sigma)
		for _, x := range []int{20, 22, 23, 25} {
			d := float64(x - 20)
			want := 255 * (phi(d+2.5) - phi(d-2.5)) * (2 * phi(2.5))
			if g := float64(got.Pixels[20*41+x]); math.Abs(g-want) > 6 {
				t.Errorf("sigma %v: %v pixels from the middle %v, want %.1f", sigma, d, g, want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		sigma := rapid.Float64Range(0, 6).Draw(t, "sigma")
		p := NewPlane(rapid.IntRange(1, 30).Draw(t, "w"), rapid.IntRange(1, 30).Draw(t, "h"))
		grey := rapid.Byte().Draw(t, "grey")
		for i := range p.Pixels {
			p.Pixels[i] = grey
		}
		for _, v := range Blur(p, sigma).Pixels {
			if v != grey {
				t.Fatalf("an even grey of %d comes out as %d", grey, v)
			}
		}
	})
}

// TestSauvolaCheckValues: Sauvola and Pietikäinen, Pattern Recognition 33 (2000),
// T = m·(1 + k·(s/R - 1)) with R = 128, worked out by hand.
func TestSauvolaCheckValues(t *testing.T) {
	for _, c := range []struct{ m, s, k, want float64 }{
		{100, 32, 0.5, 62.5}, {100, 0, 0.5, 50}, {200, 0, 0.2, 160}, {180, 128, 0.3, 180},
	} {
		if got := sauvola(c.m, c.s, c.k); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("sauvola(%v, %v, %v) = %v, want %v", c.m, c.s, c.k, got, c.want)
		}
	}
}

// planes draws a small picture of the values given.
func planes(values ...byte) *rapid.Generator[Plane] {
	return rapid.Custom(func(t *rapid.T) Plane {
		p := NewPlane(rapid.IntRange(1, 24).Draw(t, "w"), rapid.IntRange(1, 24).Draw(t, "h"))
		for i := range p.Pixels {
			if len(values) == 0 {
				p.Pixels[i] = rapid.Byte().Draw(t, "v")
			} else {
				p.Pixels[i] = rapid.SampledFrom(values).Draw(t, "v")
			}
		}
		return p
	})
}

func TestWindowSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := planes().Draw(t, "picture")
		s := newIntegral(p, 0, p.H)
		x0, y0 := rapid.IntRange(0, p.W-1).Draw(t, "x0"), rapid.IntRange(0, p.H-1).Draw(t, "y0")
		x1, y1 := rapid.IntRange(x0+1, p.W).Draw(t, "x1"), rapid.IntRange(y0+1, p.H).Draw(t, "y1")
		var sum, sum2, n float64
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				g := float64(p.Pixels[y*p.W+x])
				sum, sum2, n = sum+g, sum2+g*g, n+1
			}
		}
		m, d := s.window(x0, x1, y0, y1)
		want := math.Sqrt(max(0, sum2/n-sum/n*sum/n))
		if math.Abs(m-sum/n) > 1e-9 || math.Abs(d-want) > 1e-6 {
			t.Fatalf("window: %v, %v, want %v, %v", m, d, sum/n, want)
		}
	})
}

// TestDistances compares with checking every bare pixel.
func TestDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(0, 1, 1, 1, 1, 1).Draw(t, "mask")
		d := DistancesIn(mask)
		for i, v := range mask.Pixels {
			x, y := i%mask.W, i/mask.W
			want := 0
			if v != 0 {
				want = min(x+1, mask.W-x, y+1, mask.H-y)
				want *= want
				for j, u := range mask.Pixels {
					if u == 0 {
						dx, dy := j%mask.W-x, j/mask.W-y
						want = min(want, dx*dx+dy*dy)
					}
				}
			}
			if int(d.Squares[i]) != want {
				t.Fatalf("pixel %d, %d: %d, want %d\n%v", x, y, d.Squares[i], want, mask)
			}
		}
	})
}

// flooded numbers the pixels that are not bare by their component, from 1, by
// flooding from pixel to pixel, and returns how many components there are.
func flooded(mask Plane, diagonal bool) (label []int, n int) {
	label = make([]int, len(mask.Pixels))
	touches := func(i, j int) bool {
		dx, dy := i%mask.W-j%mask.W, i/mask.W-j/mask.W
		return dx*dx <= 1 && dy*dy <= 1 && (diagonal || dx*dy == 0)
	}
	for i, v := range mask.Pixels {
		if v == bare || label[i] != 0 {
			continue
		}
		n++
		label[i] = n
		for todo := []int{i}; len(todo) > 0; todo = todo[1:] {
			for j, v := range mask.Pixels {
				if v != bare && label[j] == 0 && touches(todo[0], j) {
					label[j] = n
					todo = append(todo, j)
				}
			}
		}
	}
	return label, n
}

// TestComponents compares with flooding from pixel to pixel.
func TestComponents(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(bare, weak, Strong).Draw(t, "mask")
		diagonal := rapid.Bool().Draw(t, "diagonal")
		spans, list := Components(mask, mask, Inked, diagonal)
		label, n := flooded(mask, diagonal)
		if len(list) != n {
			t.Fatalf("%d components, want %d", len(list), n)
		}
		of := map[int32]int{}
		for _, s := range spans {
			for x := s.x0; x < s.x1; x++ {
				l := label[int(s.y)*mask.W+int(x)]
				if was, ok := of[s.Component]; ok && was != l {
					t.Fatalf("component %d is two", s.Component)
				}
				of[s.Component] = l
			}
		}
		if len(of) != n {
			t.Fatalf("%d components are %d", n, len(of))
		}
	})
}

// TestThinned: thinned lines lie within the ink and do not change when thinned
// again, and a line of unit width has no redundant pixel.
func TestThinned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(0, 1, 1, 1).Draw(t, "mask")
		was := append([]uint8{}, mask.Pixels...)
		Thin(mask, LuWang)
		once := append([]uint8{}, mask.Pixels...)
		Thin(mask, LuWang)
		for i := range mask.Pixels {
			if once[i] > was[i] || mask.Pixels[i] != once[i] {
				t.Fatalf("pixel %d: %d, thinned %d, again %d", i, was[i], once[i], mask.Pixels[i])
			}
		}
		UnitWidth(mask)
		d := DistancesIn(Plane{mask.W, mask.H, was})
		g := GraphOf(mask, d)
		for _, e := range g.Branches {
			if len(e.Points) == 0 || !e.IsRing() && len(e.Points) < 2 {
				t.Fatalf("an edge of %d points", len(e.Points))
			}
			for i := 1; i < len(e.Points) && e.IsRing(); i++ {
				if e.Points[i].Dist(e.Points[i-1]) > 1.5 {
					t.Fatalf("a ring jumps from %v to %v", e.Points[i-1], e.Points[i])
				}
			}
		}
	})
}

func TestHalved(t *testing.T) {
	p := Plane{3, 2, []uint8{10, 20, 99, 30, 41, 99}}
	if got := p.Halved(); got.W != 1 || got.H != 1 || got.Pixels[0] != 25 {
		t.Errorf("halved to %v", got)
	}
}

// blank is a page of one grey with pixels of 0.1 mm.
func blank(w, h int, grey uint8) raster.Page {
	p := raster.Page{W: w, H: h, MM: 0.1, Light: make([]uint8, w*h)}
	for i := range p.Light {
		p.Light[i] = grey
	}
	return p
}
