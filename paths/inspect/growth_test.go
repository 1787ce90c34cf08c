package inspect

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

// at returns a point.
func at(x, y float64) paths.Point { return paths.Point{X: x, Y: y} }

// heap is a drawing on a sheet of 260 mm in which ever more lies in one place.
type heap struct {
	name   string
	all    bool // each stroke but the first is drawn twice, or is close to another
	chords bool // each stroke is of many chords
	of     func(n int, rnd *rand.Rand) []paths.Stroke
}

var heaps = []heap{
	{"nested squares", true, false, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			r := 10 + 120*float64(i)/float64(n)
			return paths.Polyline(at(-r, -r), at(r, -r), at(r, r), at(-r, r), at(-r, -r))
		})
	}},
	{"nested circles", true, true, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke { return circle(0, 0, 10+120*float64(i)/float64(n)) })
	}},
	{"one circle", true, true, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke { return circle(0, 0, 50) })
	}},
	{"equal cubics", true, true, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			return paths.Stroke{paths.Cubic{A: at(0, 0), B: at(260, 0), C: at(0, 260), D: at(260, 260)}}
		})
	}},
	{"slanted lines over each other", true, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			a, b := rnd.Float64()*130, 130+rnd.Float64()*130
			return paths.Polyline(at(a, a/2), at(b, b/2))
		})
	}},
	{"a bundle", false, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		off := func(x, y float64) paths.Point { return at(x+rnd.Float64()/10, y+rnd.Float64()/10) }
		return each(n, func(i int) paths.Stroke { return paths.Polyline(off(0, 0), off(260, 230)) })
	}},
	{"a wide bundle", true, false, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			y := 130 * float64(i) / float64(n)
			return paths.Polyline(at(0, y), at(260, 130+y))
		})
	}},
	{"a star", false, false, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			return paths.Polyline(at(0, 0), at(130*cos, 130*sin))
		})
	}},
	{"a fan", false, false, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			return paths.Polyline(at(130, 0), at(260*float64(i)/float64(n), 260))
		})
	}},
	{"lines in 1 mm", false, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			return paths.Polyline(at(rnd.Float64(), rnd.Float64()), at(rnd.Float64(), rnd.Float64()))
		})
	}},
	{"a grid", true, false, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			x := 260 * float64(i/2) / float64(n/2)
			if i%2 == 0 {
				return paths.Polyline(at(x, 0), at(x, 260))
			}
			return paths.Polyline(at(0, x), at(260, x))
		})
	}},
	{"chords of a circle", false, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		on := func() paths.Point {
			sin, cos := math.Sincos(2 * math.Pi * rnd.Float64())
			return at(130*cos, 130*sin)
		}
		return each(n, func(i int) paths.Stroke { return paths.Polyline(on(), on()) })
	}},
	{"turned ellipses", false, true, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			m := paths.Scale(1, 0.4).Then(paths.Rotate(math.Pi * float64(i) / float64(n)))
			return circle(0, 0, 130).Transform(m)
		})
	}},
	{"zigzags over each other", true, true, func(n int, _ *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			var p []paths.Point
			for k := range 14 {
				p = append(p, at(float64(k%2)*5, float64(k)*20))
			}
			return paths.Polyline(p...)
		})
	}},
	{"a spiral", false, true, func(n int, _ *rand.Rand) []paths.Stroke {
		var p []paths.Point
		for k := range 12 * n {
			sin, cos := math.Sincos(0.03 * float64(k))
			r := 130 * float64(k) / float64(12*n)
			p = append(p, at(r*cos, r*sin))
		}
		return []paths.Stroke{paths.Polyline(p...)}
	}},
	{"a line that crosses itself", false, true, func(n int, rnd *rand.Rand) []paths.Stroke {
		var p []paths.Point
		x, y, way := 130., 130., 0.
		for range 12 * n {
			way += rnd.NormFloat64() / 2
			x, y = x+math.Cos(way), y+math.Sin(way)
			if !(0 < x && x < 260 && 0 < y && y < 260) {
				way += math.Pi
				x, y = min(260, max(0, x)), min(260, max(0, y))
			}
			p = append(p, at(x, y))
		}
		return []paths.Stroke{paths.Polyline(p...)}
	}},
	{"dots in 1 mm", false, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			p := at(rnd.Float64(), rnd.Float64())
			return paths.Stroke{paths.Line{A: p, B: p}}
		})
	}},
	{"circles anywhere", false, true, func(n int, rnd *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke { return circle(rnd.Float64()*260, rnd.Float64()*260, 3) })
	}},
	{"gaps in one place", false, false, func(n int, rnd *rand.Rand) []paths.Stroke {
		return each(n, func(i int) paths.Stroke {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			r := 0.15 + 0.1*rnd.Float64()
			return paths.Polyline(at(r*cos, r*sin), at(130*cos, 130*sin))
		})
	}},
}

func each(n int, of func(i int) paths.Stroke) []paths.Stroke {
	out := make([]paths.Stroke, n)
	for i := range out {
		out[i] = of(i)
	}
	return out
}

// grown is what two drawings of one kind took, of which one has more strokes.
type grown struct{ size, work, seconds [2]float64 }

func grow(of func(n int, rnd *rand.Rand) []paths.Stroke, few, many int) (g grown, last Result) {
	for k, n := range []int{few, many} {
		list, start := of(n, rand.New(rand.NewPCG(19, 6))), userSeconds()
		f := newDrawing(list, monks)
		last = f.inspect(list)
		g.size[k], g.work[k], g.seconds[k] = float64(len(f.segs)+len(last.Found)), float64(f.work), userSeconds()-start
	}
	return g, last
}

// exponent returns how something grew, in the straight pieces that go in and the places that
// are found: 1 is linear.
func (g grown) exponent(of [2]float64) float64 {
	return math.Log(of[1]/of[0]) / math.Log(g.size[1]/g.size[0])
}

// What heaps up is told all the same, of each stroke but the first few; and once a heap is
// full, looks grow about as what goes in and comes out.
func TestGrowth(t *testing.T) {
	for _, h := range heaps {
		if !h.all {
			continue
		}
		few, many := 250, 500
		if h.chords {
			few, many = 50, 100
		}
		g, last := grow(h.of, few, many)
		if len(last.Found) < many-2 {
			t.Errorf("%s: %d places are found in %d strokes", h.name, len(last.Found), many)
		}
		if most := maxBeside*3 + maxLooks + 4000*g.size[1]; g.work[1] > most {
			t.Errorf("%s: %.0f looks at %.0f pieces, want no more than %.0f", h.name, g.work[1], g.size[1], most)
		}
	}
}

// Below any heap a line is held against its neighbours, however many lie within reach: at
// three sizes looks are few for each piece. Those at long lines grow about as these do; at
// circles, where what is nearest often touches and tells nothing, they still grow faster.
func TestLooksBelowHeaps(t *testing.T) {
	for _, tt := range []struct {
		name     string
		sizes    [3]int
		exponent float64
		perPiece float64 // at the largest size
	}{
		{"a grid", [3]int{250, 500, 1000}, 1.1, 80},
		{"nested squares", [3]int{125, 250, 500}, 1.2, 90},
		{"a spiral", [3]int{125, 250, 500}, 1.25, 8},
		{"circles anywhere", [3]int{60, 125, 250}, 1.4, 6},
		{"chords of a circle", [3]int{125, 250, 500}, 1.2, 50},
	} {
		k := slices.IndexFunc(heaps, func(h heap) bool { return h.name == tt.name })
		for _, few := range []int{0, 1} {
			g, _ := grow(heaps[k].of, tt.sizes[few], tt.sizes[few+1])
			t.Logf("%s: exponent %.2f, %.0f looks for each piece", tt.name, g.exponent(g.work), g.work[1]/g.size[1])
			if few == 1 && g.work[1] > tt.perPiece*g.size[1] {
				t.Errorf("%s: %.0f looks for each piece, want no more than %.0f", tt.name, g.work[1]/g.size[1], tt.perPiece)
			}
		}
		if g, _ := grow(heaps[k].of, tt.sizes[0], tt.sizes[2]); g.exponent(g.work) > tt.exponent {
			t.Errorf("%s: looks grow with exponent %.2f, want no more than %.2f", tt.name, g.exponent(g.work), tt.exponent)
		}
	}
}

// BenchmarkGrowth reports looks, seconds and pieces of heaps of up to 16,000 strokes, and
// the exponents with which looks and seconds grow in pieces from a fourth of them.
func BenchmarkGrowth(b *testing.B) {
	for _, h := range heaps {
		for _, n := range []int{4000, 16000} {
			if h.chords {
				n /= 8
			}
			b.Run(fmt.Sprintf("%s/strokes=%d", h.name, n), func(b *testing.B) {
				for b.Loop() {
					g, last := grow(h.of, n/4, n)
					b.ReportMetric(g.work[1], "looks")
					b.ReportMetric(g.seconds[1], "CPU-seconds")
					b.ReportMetric(g.size[1], "pieces")
					b.ReportMetric(float64(len(last.Found)), "found")
					b.ReportMetric(g.exponent(g.work), "exponent-looks")
					b.ReportMetric(g.exponent(g.seconds), "exponent-seconds")
				}
			})
		}
	}
}
