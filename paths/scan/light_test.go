package scan

import (
	"math"
	"testing"

	"pgregory.net/rapid"
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
	flat := flatField(p)
	for _, at := range [][3]int{{20, 20, paper}, {880, 580, paper}, {450, 560, paper}, {295, 260, paper}, {360, 260, paper / 5}} {
		if got := int(flat.v[at[1]*p.W+at[0]]); got < at[2]-10 || got > at[2]+10 {
			t.Errorf("at %d, %d the light is %d, want about %d", at[0], at[1], got, at[2])
		}
	}
}

// TestGaussIsABell holds the blur of a small square to the normal distribution; the
// weights are in 256ths and at whole pixels, so it is within a few steps of grey.
func TestGaussIsABell(t *testing.T) {
	for _, sigma := range []float64{0.8, 1.5, 3} {
		p := newPlane(41, 41)
		// A single point would be too dark to see once spread out: a square.
		for y := 18; y <= 22; y++ {
			for x := 18; x <= 22; x++ {
				p.v[y*41+x] = 255
			}
		}
		phi := func(x float64) float64 { return math.Erf(x/sigma/math.Sqrt2) / 2 }
		got := gauss(p, sigma)
		for _, x := range []int{20, 22, 23, 25} {
			d := float64(x - 20)
			want := 255 * (phi(d+2.5) - phi(d-2.5)) * (2 * phi(2.5))
			if g := float64(got.v[20*41+x]); math.Abs(g-want) > 6 {
				t.Errorf("sigma %v: %v pixels from the middle %v, want %.1f", sigma, d, g, want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		sigma := rapid.Float64Range(0, 6).Draw(t, "sigma")
		p := newPlane(rapid.IntRange(1, 30).Draw(t, "w"), rapid.IntRange(1, 30).Draw(t, "h"))
		grey := rapid.Byte().Draw(t, "grey")
		for i := range p.v {
			p.v[i] = grey
		}
		for _, v := range gauss(p, sigma).v {
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
func planes(values ...byte) *rapid.Generator[plane] {
	return rapid.Custom(func(t *rapid.T) plane {
		p := newPlane(rapid.IntRange(1, 24).Draw(t, "w"), rapid.IntRange(1, 24).Draw(t, "h"))
		for i := range p.v {
			if len(values) == 0 {
				p.v[i] = rapid.Byte().Draw(t, "v")
			} else {
				p.v[i] = rapid.SampledFrom(values).Draw(t, "v")
			}
		}
		return p
	})
}

func TestWindowSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := planes().Draw(t, "picture")
		s := newIntegral(p, 0, p.h)
		x0, y0 := rapid.IntRange(0, p.w-1).Draw(t, "x0"), rapid.IntRange(0, p.h-1).Draw(t, "y0")
		x1, y1 := rapid.IntRange(x0+1, p.w).Draw(t, "x1"), rapid.IntRange(y0+1, p.h).Draw(t, "y1")
		var sum, sum2, n float64
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				g := float64(p.v[y*p.w+x])
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

// TestDistances compares with a look at every bare pixel.
func TestDistances(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(0, 1, 1, 1, 1, 1).Draw(t, "mask")
		d := distancesIn(mask)
		for i, v := range mask.v {
			x, y := i%mask.w, i/mask.w
			want := 0
			if v != 0 {
				want = min(x+1, mask.w-x, y+1, mask.h-y)
				want *= want
				for j, u := range mask.v {
					if u == 0 {
						dx, dy := j%mask.w-x, j/mask.w-y
						want = min(want, dx*dx+dy*dy)
					}
				}
			}
			if int(d.d2[i]) != want {
				t.Fatalf("pixel %d, %d: %d, want %d\n%v", x, y, d.d2[i], want, mask)
			}
		}
	})
}

// TestParts compares with flooding from pixel to pixel.
func TestParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(bare, weak, strong).Draw(t, "mask")
		diagonal := rapid.Bool().Draw(t, "diagonal")
		spans, list := parts(mask, mask, [3]bool{weak: true, strong: true}, diagonal)
		label := make([]int, len(mask.v))
		n := 0
		for i := range mask.v {
			if mask.v[i] == bare || label[i] != 0 {
				continue
			}
			n++
			todo := []int{i}
			label[i] = n
			for k := 0; k < len(todo); k++ {
				x, y := todo[k]%mask.w, todo[k]/mask.w
				for dy := -1; dy <= 1; dy++ {
					for dx := -1; dx <= 1; dx++ {
						px, py := x+dx, y+dy
						if px < 0 || py < 0 || px >= mask.w || py >= mask.h || dx*dy != 0 && !diagonal {
							continue
						}
						if j := py*mask.w + px; mask.v[j] != bare && label[j] == 0 {
							label[j] = n
							todo = append(todo, j)
						}
					}
				}
			}
		}
		if len(list) != n {
			t.Fatalf("%d parts, want %d", len(list), n)
		}
		of := map[int32]int{}
		for _, s := range spans {
			for x := s.x0; x < s.x1; x++ {
				l := label[int(s.y)*mask.w+int(x)]
				if was, ok := of[s.part]; ok && was != l {
					t.Fatalf("part %d is two", s.part)
				}
				of[s.part] = l
			}
		}
		if len(of) != n {
			t.Fatalf("%d parts are %d", n, len(of))
		}
	})
}

// TestThinned: what is thinned lies in what was inked and is not thinned further,
// and no line of unit width has a pixel to spare.
func TestThinned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mask := planes(0, 1, 1, 1).Draw(t, "mask")
		was := append([]uint8{}, mask.v...)
		thin(mask, luWang)
		once := append([]uint8{}, mask.v...)
		thin(mask, luWang)
		for i := range mask.v {
			if once[i] > was[i] || mask.v[i] != once[i] {
				t.Fatalf("pixel %d: %d, thinned %d, again %d", i, was[i], once[i], mask.v[i])
			}
		}
		unitWidth(mask)
		d := distancesIn(plane{mask.w, mask.h, was})
		g := graphOf(mask, d)
		for _, e := range g.edges {
			if len(e.pts) == 0 || !e.isRing() && len(e.pts) < 2 {
				t.Fatalf("an edge of %d points", len(e.pts))
			}
			for i := 1; i < len(e.pts) && e.isRing(); i++ {
				if e.pts[i].Dist(e.pts[i-1]) > 1.5 {
					t.Fatalf("a ring jumps from %v to %v", e.pts[i-1], e.pts[i])
				}
			}
		}
	})
}

func TestHalved(t *testing.T) {
	p := plane{3, 2, []uint8{10, 20, 99, 30, 41, 99}}
	if got := p.halved(); got.w != 1 || got.h != 1 || got.v[0] != 25 {
		t.Errorf("halved to %v", got)
	}
}
