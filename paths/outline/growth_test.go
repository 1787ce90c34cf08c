package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// sheetful returns n fills of three colours on a sheet 300 mm wide: of radius r anywhere,
// so that the more there are the more lie over one another, or, for a radius of 0, in
// rows apart from one another.
func sheetful(shape func(r float64, rnd *rand.Rand) paths.Stroke, r float64, n int) []Fill {
	rnd := rand.New(rand.NewPCG(19, 6))
	across := int(math.Ceil(math.Sqrt(float64(n))))
	var out []Fill
	for i := range n {
		at, radius := pt(rnd.Float64()*300, rnd.Float64()*300), r
		if r == 0 {
			pitch := 300 / float64(across)
			at, radius = pt(float64(i%across)*pitch, float64(i/across)*pitch), pitch*0.33
		}
		s := shape(radius, rnd).Transform(paths.Translate(at))
		out = append(out, Fill{Area: []paths.Stroke{s}, Colour: []string{"red", "blue", "green"}[i%3]})
	}
	return out
}

// shapes are the outlines that growth is measured on, round the origin.
var shapes = []struct {
	name string
	of   func(r float64, rnd *rand.Rand) paths.Stroke
}{
	{"discs", func(r float64, _ *rand.Rand) paths.Stroke { return disc(0, 0, r)[0] }},
	{"squares", func(r float64, rnd *rand.Rand) paths.Stroke {
		return box(-r, -r, 2*r, 2*r)[0].Transform(paths.Rotate(rnd.Float64()))
	}},
	{"blobs", func(r float64, rnd *rand.Rand) (s paths.Stroke) {
		var at, along [5]paths.Point
		for k := range at {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 5)
			out := pt(cos, sin)
			at[k], along[k] = out.Mul(r*(0.7+0.6*rnd.Float64())), out.Left().Mul(0.4*r)
		}
		for k := range at {
			m := (k + 1) % 5
			s = append(s, paths.Cubic{A: at[k], B: at[k].Add(along[k]), C: at[m].Sub(along[m]), D: at[m]})
		}
		return s
	}},
}

// size returns how many curves go in and come out.
func size(fills []Fill, seen []View) float64 {
	n := 0
	for i, f := range fills {
		for _, s := range f.Area {
			n += len(s)
		}
		for _, s := range seen[i].Lines {
			n += len(s)
		}
	}
	return float64(n)
}

// grown is the work that two numbers of fills on one sheet took.
type grown struct{ looks, seconds, size [2]float64 }

func grow(t testing.TB, fills func(n int) []Fill, few, many int) (g grown) {
	for k, n := range []int{few, many} {
		list, spent, start := fills(n), 0, userSeconds()
		seen, err := Seen(list, Options{Work: 1 << 40, Spent: &spent})
		if err != nil {
			t.Fatal(err)
		}
		g.looks[k], g.seconds[k], g.size[k] = float64(spent), userSeconds()-start, size(list, seen)
	}
	return g
}

// exponent returns how something grew, in curves that go in and come out: 1 is linear.
func (g grown) exponent(of [2]float64) float64 {
	return math.Log(of[1]/of[0]) / math.Log(g.size[1]/g.size[0])
}

// seenWhole are fills of which all edges are seen: each within the one before, or beside it.
var seenWhole = []struct {
	name string
	of   func(n int) []Fill
}{
	{"rings within one another", func(n int) []Fill {
		return within(n, func(r float64) []paths.Stroke { return disc(0, 0, r) })
	}},
	{"squares within one another", func(n int) []Fill {
		return within(n, func(r float64) []paths.Stroke { return box(-r, -r, 2*r, 2*r) })
	}},
	{"slanting squares within one another", func(n int) []Fill {
		return within(n, func(r float64) []paths.Stroke {
			return []paths.Stroke{box(-r, -r, 2*r, 2*r)[0].Transform(paths.Rotate(0.3))}
		})
	}},
	{"strips side by side", func(n int) (out []Fill) {
		for i := range n {
			out = append(out, Fill{Area: box(0, 260*float64(i)/float64(n), 260, 260/float64(n)), Colour: fmt.Sprint(i % 3)})
		}
		return out
	}},
}

func within(n int, of func(r float64) []paths.Stroke) (out []Fill) {
	for i := range n {
		out = append(out, Fill{Area: of(150 - 140*float64(i)/float64(n)), Colour: fmt.Sprint(i % 3)})
	}
	return out
}

// Looks grow about as what goes in and comes out, whether fills lie apart or many over
// one another, along one another or in one place.
func TestGrowth(t *testing.T) {
	check := func(name string, most float64, few, many int, fills func(n int) []Fill) {
		few, many = few/2, many/2
		g := grow(t, fills, few, many)
		if e := g.exponent(g.looks); !(e < most) {
			t.Errorf("%s: from %d to %d fills looks grow from %.0f to %.0f and curves from %.0f to %.0f: exponent %.2f, want less than %g",
				name, few, many, g.looks[0], g.looks[1], g.size[0], g.size[1], e, most)
		}
	}
	for _, s := range shapes {
		for _, r := range []float64{0, 20} {
			check(fmt.Sprint(s.name, " of radius ", r), 1.2, 400, 1600, func(n int) []Fill { return sheetful(s.of, r, n) })
		}
	}
	check("one disc", 1.2, 100, 400, func(n int) (out []Fill) {
		for i := range n {
			out = append(out, Fill{Area: disc(0, 0, 5), Colour: fmt.Sprint(i % 3)})
		}
		return out
	})
	check("growing discs", 1.2, 500, 2000, func(n int) (out []Fill) {
		for i := range n {
			out = append(out, Fill{Area: disc(0, 0, 50+100*float64(i)/float64(n)), Colour: fmt.Sprint(i % 3)})
		}
		return out
	})
	for _, s := range seenWhole { // n log n alone is an exponent of 1.15 here
		check(s.name, 1.25, 500, 2000, s.of)
	}
	check("rectangles of whole millimetres", 1.2, 500, 2000, func(n int) (out []Fill) {
		rnd := rand.New(rand.NewPCG(19, 7))
		num := func(n int) float64 { return float64(rnd.IntN(n)) }
		for i := range n {
			out = append(out, Fill{Area: box(num(30), num(30), 1+num(5), 1+num(5)), Colour: fmt.Sprint(i % 3)})
		}
		return out
	})
	check("discs through one window", 1.2, 400, 1600, func(n int) []Fill {
		w := &Window{Shapes: []WindowShape{{Region: &Region{Edge: disc(150, 150, 150)}}}}
		fills := sheetful(shapes[0].of, 20, n)
		for i := range fills {
			fills[i].Window = w
		}
		return fills
	})
	check("discs through windows of their own", 1.2, 1000, 4000, func(n int) []Fill {
		fills := sheetful(shapes[0].of, 20, n)
		for i := range fills {
			at := fills[i].Area[0].Start()
			fills[i].Window = &Window{Shapes: []WindowShape{{Region: &Region{Edge: box(at.X-30, at.Y-8, 25, 16)}}}}
		}
		return fills
	})
}

// Crossing curves that run beside one another counts what it takes: thousands of halvings
// and not one crossing.
func TestHalvingCounts(t *testing.T) {
	fills := func(apart float64) (list []Fill) {
		for i := range 2 {
			s := shapes[2].of(30, rand.New(rand.NewPCG(9, 9))).Transform(paths.Translate(pt(apart*float64(i), 0)))
			list = append(list, Fill{Area: []paths.Stroke{s}, Colour: fmt.Sprint(i)})
		}
		return list
	}
	looks := func(apart float64) (spent int) {
		if _, err := Seen(fills(apart), Options{Spent: &spent}); err != nil {
			t.Fatal(err)
		}
		return spent
	}
	if far, near := looks(10), looks(0.001); near < 10*far {
		t.Errorf("two shapes take %d looks where they cross and %d where they run beside one another, want ten times as many", far, near)
	}
}

// BenchmarkGrowth reports looks, CPU seconds and curves of sheets of up to 10,000 fills, and
// the exponents with which looks and CPU seconds grow in curves, from half as many fills.
func BenchmarkGrowth(b *testing.B) {
	run := func(name string, n int, fills func(n int) []Fill) {
		b.Run(fmt.Sprintf("%s/fills=%d", name, n), func(b *testing.B) {
			for b.Loop() {
				g := grow(b, fills, n/2, n)
				b.ReportMetric(g.looks[1], "looks")
				b.ReportMetric(g.seconds[1], "CPU-seconds")
				b.ReportMetric(g.size[1], "curves")
				b.ReportMetric(g.exponent(g.looks), "exponent-looks")
				b.ReportMetric(g.exponent(g.seconds), "exponent-seconds")
			}
		})
	}
	for _, s := range shapes {
		for _, r := range []float64{0, 4, 12, 30} {
			for _, n := range []int{2500, 5000, 10000} {
				run(fmt.Sprintf("%s of radius %g", s.name, r), n, func(n int) []Fill { return sheetful(s.of, r, n) })
			}
		}
	}
	for _, s := range seenWhole {
		for _, n := range []int{2000, 4000, 8000} {
			run(s.name, n, s.of)
		}
	}
	for _, n := range []int{1000, 2000, 4000} {
		run("stars", n, func(n int) []Fill { return stars(n, false) })
		run("sheer stars", n/2, func(n int) []Fill { return stars(n, true) })
	}
	for _, n := range []int{2000, 4000, 8000} {
		run("small discs heaped on one another", n, func(n int) (out []Fill) {
			rnd := rand.New(rand.NewPCG(19, 9))
			for i := range n {
				out = append(out, Fill{Area: disc(rnd.NormFloat64()*8, rnd.NormFloat64()*8, 2), Colour: fmt.Sprint(i % 3)})
			}
			return out
		})
	}
}
