package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

type kindOfFill struct {
	name string
	of   func(n int) Fill
}

// large are single fills of about n curves, of which a ray from one point passes many turns.
var large = []kindOfFill{
	{"a wavy ribbon", func(n int) Fill { // to and fro in rows
		var one, other []paths.Point
		rows := int(math.Sqrt(float64(n)) / 8)
		for i := range n / 2 {
			u := float64(i) / float64(n/2) * float64(rows)
			row := math.Floor(u)
			x := u - row
			if int(row)%2 == 1 {
				x = 1 - x
			}
			y := (row + 0.3*math.Sin(300*u)) * 300 / float64(rows)
			one, other = append(one, pt(300*x, y)), append(other, pt(300*x, y+90/float64(rows)))
		}
		for i := range other {
			one = append(one, other[len(other)-1-i])
		}
		return Fill{Area: []paths.Stroke{paths.Polyline(append(one, one[0])...)}}
	}},
	{"a spiral band", func(n int) Fill {
		return Fill{Area: []paths.Stroke{spiralBand(n)}}
	}},
	{"a coast", func(n int) Fill {
		var list []paths.Point
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			r := 100.
			for k, f := 1., 3.; f < float64(n)/8; k, f = k+1, f*2.7 {
				r += 40 / math.Pow(1.8, k) * math.Sin(f*a+k*k)
			}
			sin, cos := math.Sincos(a)
			list = append(list, pt(r*cos, r*sin))
		}
		return Fill{Area: []paths.Stroke{paths.Polyline(append(list, list[0])...)}}
	}},
	{"one path with holes", func(n int) Fill {
		f := Fill{Area: box(-1, -1, 302, 302), EvenOdd: true}
		across := int(math.Sqrt(float64(n) / 20))
		for i := range across * across {
			pitch := 300 / float64(across)
			var list []paths.Point
			for k := range 20 {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / 20)
				r := pitch * (0.3 + 0.05*float64(k%3))
				list = append(list, pt((float64(i%across)+0.5)*pitch+r*cos, (float64(i/across)+0.5)*pitch+r*sin))
			}
			f.Area = append(f.Area, paths.Polyline(append(list, list[0])...))
		}
		return f
	}},
	{"one path of rings", func(n int) Fill {
		f := Fill{EvenOdd: true}
		rings := int(math.Sqrt(float64(n)) / 3)
		for i := range rings {
			var list []paths.Point
			for k := range n / rings {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n/rings))
				r := 10 + 140*float64(i)/float64(rings)
				list = append(list, pt(r*cos, r*sin))
			}
			f.Area = append(f.Area, paths.Polyline(append(list, list[0])...))
		}
		return f
	}},
	{"one path of stripes", func(n int) Fill {
		var list []paths.Point
		for i := range n / 4 {
			x := 1200 * float64(i) / float64(n)
			list = append(list, pt(x, 0), pt(x, 300), pt(x+600/float64(n), 300), pt(x+600/float64(n), 0))
		}
		return Fill{Area: []paths.Stroke{paths.Polyline(append(list, pt(300, -1), pt(0, -1), pt(0, 0))...)}}
	}},
}

// crooked are the large fills, and one whose edge crosses itself.
var crooked = append(slices.Clone(large), kindOfFill{"a tangle", tangle})

// spiralBand returns a band of about n curves with the more turns the more curves it has.
func spiralBand(n int) paths.Stroke {
	turns := math.Sqrt(float64(n)) / 3
	at := func(i int, out float64) paths.Point {
		a := float64(i) / float64(n/2) * turns * 2 * math.Pi
		sin, cos := math.Sincos(a)
		r := (a/(2*math.Pi) + 1 + out) * 140 / turns
		return pt(r*cos, r*sin)
	}
	var list []paths.Point
	for i := range n / 2 {
		list = append(list, at(i, 0))
	}
	for i := n/2 - 1; i >= 0; i-- {
		list = append(list, at(i, 0.4))
	}
	return paths.Polyline(append(list, list[0])...)
}

// tangle returns a fill of lines, arcs and cubics that cross one another here and there, with
// corners that lie at one height, above one another and in one place.
func tangle(n int) Fill {
	rnd := rand.New(rand.NewPCG(20, 1))
	var f Fill
	for range max(1, n/240) {
		at := pt(float64(rnd.IntN(280)), float64(rnd.IntN(280)))
		var s paths.Stroke
		corner := at
		for k := range 240 {
			next := corner.Add(pt(float64(rnd.IntN(9)-4), float64(rnd.IntN(9)-4)))
			if k == 239 {
				next = at
			}
			switch k % 12 {
			case 0:
				s = append(s, paths.Cubic{A: corner, B: pt(next.X, corner.Y), C: pt(corner.X, next.Y), D: next})
			case 6:
				if next != corner {
					half := paths.ArcAround(corner.Lerp(next, 0.5), corner.Dist(next)/2, corner.Sub(next).Angle(), math.Pi)
					s = append(s, paths.WithEnds(half, corner, next))
				}
			default:
				s = append(s, paths.Line{A: corner, B: next})
			}
			corner = next
		}
		f.Area = append(f.Area, s)
	}
	return f
}

// By runs a winder turns as often round any point as by definition: the number of all its
// parts that cross the ray to the left, and, but for points on an edge, that of the sides of
// its flattened boundaries that pass the point on the right. Many of the points are corners,
// or level with one.
func TestTurnsByRuns(t *testing.T) {
	for _, k := range crooked {
		f := k.of(600)
		rnd := rand.New(rand.NewPCG(20, 2))
		p := newPlane([]Fill{f}, Options{Near: 1e-6, Work: 1 << 40})
		p.gather()
		p.plant()
		w := &p.winders[0]
		runs, flat := p.newTurns(w), newBrute([]Fill{f}, 1e-4)
		size, found := w.box.Max.Sub(w.box.Min), map[int32]int{}
		for i := range 800 {
			corner := func() paths.Point { return p.parts[rnd.IntN(len(p.parts))].c.Start() }
			q := pt(w.box.Min.X+(1.1*rnd.Float64()-0.05)*size.X, w.box.Min.Y+(1.1*rnd.Float64()-0.05)*size.Y)
			switch i % 5 {
			case 1:
				q.Y = corner().Y
			case 2:
				q = pt(corner().X, corner().Y)
			case 3:
				q = corner()
			}
			want := int32(0)
			for k := range p.parts {
				want += p.parts[k].crosses(q)
			}
			if got := runs.round(p, q); got != want {
				t.Fatalf("%s: round %v it turns %d times by runs, %d by all parts", k.name, q, got, want)
			}
			found[want]++
			if i%8 != 0 || onAny(f.Area, q, 1e-3) {
				continue
			}
			byDefinition := 0
			for _, ring := range flat.flat[0] {
				byDefinition += winding(ring, q)
			}
			if int(want) != -byDefinition && int(want) != byDefinition {
				t.Fatalf("%s: round %v it turns %d times by crossings, %d by its flattened boundaries", k.name, q, want, byDefinition)
			}
		}
		if len(found) < 2 || found[0] < 50 || found[0] > 750 {
			t.Errorf("%s: points by turns are %v: too alike to tell", k.name, found)
		}
	}
}

// What is seen of a large fill is the same, to the last bit, whether its turns are counted by
// runs from the first or never.
func TestSeenEitherWay(t *testing.T) {
	for _, k := range crooked {
		fills := []Fill{k.of(600), {Area: disc(70, 50, 60), Colour: "red", Sheer: true}}
		seen := func(byRuns bool) string {
			p := newPlane(fills, Options{Near: 1e-6, Work: 1 << 40})
			p.gather()
			p.plant()
			p.winders[0].looks = math.MinInt / 2 // never many
			if byRuns {
				p.winders[0].turns = p.newTurns(&p.winders[0])
			}
			p.lay()
			p.cutAll()
			p.judge()
			if made := p.winders[0].turns != nil; made != byRuns {
				t.Errorf("%s: that turns are counted by runs is %v, want %v", k.name, made, byRuns)
			}
			return fmt.Sprint(p.views())
		}
		if got, want := seen(true), seen(false); got != want {
			t.Errorf("%s: what is seen differs: by runs\n%.500s\nby rays\n%.500s", k.name, got, want)
		}
	}
}

// Looks at one large fill grow as its curves, not with the turns that a ray passes; no
// kind takes many looks at each.
func TestGrowthOfOneFill(t *testing.T) {
	for _, k := range large {
		g := grow(t, func(n int) []Fill { return []Fill{k.of(n)} }, 1500, 6000)
		if e := g.exponent(g.looks); !(e < 1.2) || g.looks[1] > 60*g.size[1] {
			t.Errorf("%s: looks grow from %.0f to %.0f and curves from %.0f to %.0f: exponent %.2f, want less than 1.2, and no more than 60 looks at each",
				k.name, g.looks[0], g.looks[1], g.size[0], g.size[1], e)
		}
	}
}

// BenchmarkOneFill reports looks and CPU seconds of single fills of up to 200,000 curves, and
// the exponents with which they grow in curves, from half as many.
func BenchmarkOneFill(b *testing.B) {
	for _, k := range large {
		for _, n := range []int{50000, 100000, 200000} {
			b.Run(fmt.Sprintf("%s/curves=%d", k.name, n), func(b *testing.B) {
				for b.Loop() {
					g := grow(b, func(n int) []Fill { return []Fill{k.of(n)} }, n/2, n)
					b.ReportMetric(g.looks[1], "looks")
					b.ReportMetric(g.seconds[1], "CPU-seconds")
					b.ReportMetric(g.exponent(g.looks), "exponent-looks")
					b.ReportMetric(g.exponent(g.seconds), "exponent-seconds")
				}
			})
		}
	}
}
