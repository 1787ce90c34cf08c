package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"weftplot/paths"
)

// star returns the star polygon {corners/step} (Coxeter, Regular Polytopes, 2.8) about the
// origin: a fill of it winds up to step times round the points in its middle.
func star(r float64, corners, step int, turned float64) paths.Stroke {
	var list []paths.Point
	for k := range corners + 1 {
		sin, cos := math.Sincos(turned + 2*math.Pi*float64(k%corners*step)/float64(corners))
		list = append(list, pt(r*cos, r*sin))
	}
	return paths.Polyline(list...)
}

// stars returns n stars anywhere on a sheet 300 mm wide.
func stars(n int, sheer bool) (out []Fill) {
	rnd := rand.New(rand.NewPCG(27, 1))
	for i := range n {
		corners := 5 + 2*rnd.IntN(3)
		at := pt(rnd.Float64()*300, rnd.Float64()*300)
		s := star(10+15*rnd.Float64(), corners, 2, 7*rnd.Float64()).Transform(paths.Translate(at))
		out = append(out, Fill{Area: []paths.Stroke{s}, Colour: []string{"red", "blue", "green"}[i%3], Sheer: sheer})
	}
	return out
}

// windings are fills that wind several times round some points, the one way or the other.
var windings = []kindOfFill{
	{"a star", func(int) Fill { return Fill{Area: []paths.Stroke{star(100, 9, 4, 0.1)}} }},
	{"a star the other way", func(int) Fill { return Fill{Area: []paths.Stroke{star(100, 9, 4, 0.1).Reverse()}} }},
	{"discs within one another", func(int) Fill {
		return Fill{Area: append(append(disc(0, 0, 90), disc(5, 0, 70)...), disc(0, 5, 50)...)}
	}},
	{"a star and a disc the other way", func(int) Fill {
		return Fill{Area: []paths.Stroke{star(100, 7, 3, 0.1), {paths.ArcAround(pt(0, 0), 40, 1, -2*math.Pi)}}}
	}},
	{"a tangle", func(n int) Fill { f := tangle(n); f.Area[0] = f.Area[0][:50]; return f }},
}

// A cell of which it is told that a fill covers it although its boundary comes in has no
// point outside: by the turns of the flattened boundary. Of many cells it is told.
func TestCoversItselfIsInside(t *testing.T) {
	rnd := rand.New(rand.NewPCG(27, 2))
	for _, k := range windings {
		f := k.of(240)
		p := newPlane([]Fill{f}, Options{Near: 1e-6, Work: 1 << 40})
		p.gather()
		p.plant()
		p.lay()
		w, flat := &p.winders[0], newBrute([]Fill{f}, 1e-3)
		if !w.twice {
			t.Errorf("%s: is not asked", k.name)
			continue
		}
		all, covered := p.appendPieces(nil, 0), 0
		for range 2000 {
			at := pt(w.box.Min.X+rnd.Float64()*w.box.Width(), w.box.Min.Y+rnd.Float64()*w.box.Height())
			c := cell{box: paths.Rect{Min: at, Max: at.Add(pt(1, 1).Mul(8 * rnd.Float64()))}}
			p.scratch = p.scratch[:0]
			for _, s := range all {
				p.appendHalves(c.box.Grow(reach*p.tol), c.box.Width(), s, 0)
			}
			pieces := append([]piece(nil), p.scratch...)
			if p.scratch = p.scratch[:0]; len(pieces) == 0 || !p.coversItself(&c, 0, pieces) {
				continue
			}
			covered++
			for range 20 {
				q := c.box.Min.Add(pt(rnd.Float64()*c.box.Width(), rnd.Float64()*c.box.Height()))
				if turns := turnsOf(flat, q); turns == 0 {
					t.Fatalf("%s: the cell %v is told to be covered, and %v is outside", k.name, c.box, q)
				}
			}
		}
		if covered < 10 {
			t.Errorf("%s: %d cells are covered: too few to tell", k.name, covered)
		}
	}
}

// turnsOf returns how often the first fill turns round a point, by its flattened boundaries.
func turnsOf(b brute, q paths.Point) (n int) {
	for _, ring := range b.flat[0] {
		n += winding(ring, q)
	}
	return n
}

// What is seen of heaps of stars is the same as where all boundaries are crossed with one
// another and no fill is left out of a cell.
func TestStarsAsWithoutCells(t *testing.T) {
	for _, sheer := range []bool{false, true} {
		for _, colours := range []int{1, 3} {
			fills := stars(40, sheer)
			for i := range fills {
				fills[i].Area[0] = fills[i].Area[0].Transform(paths.Scale(0.2, 0.2))
				fills[i].Colour = fmt.Sprint(i % colours)
				fills[i].Sheer = sheer && i%9 != 0
			}
			got, want := seenIn(fills, crowded), seenIn(fills, 1<<30)
			if at, ok := beyond(got, want); ok {
				t.Errorf("sheer %v, %d colours: at %v a line is seen with cells, none without", sheer, colours, at)
			}
			if at, ok := beyond(want, got); ok {
				t.Errorf("sheer %v, %d colours: at %v a line is seen without cells, none with them", sheer, colours, at)
			}
		}
	}
}

// Looks at heaps of stars grow no faster than the stars, whose edges lie in one another and in
// themselves; those at sheer stars of three colours far less than the places where they cross,
// whose number grows as the square.
func TestGrowthOfStars(t *testing.T) {
	for _, tt := range []struct {
		name  string
		sheer bool
		sizes []int
		most  float64 // exponent of looks, in fills
		looks float64 // at most, at the largest size
	}{
		{"stars", false, []int{200, 400, 800}, 1, 2.2e6},
		{"sheer stars", true, []int{150, 300, 600}, 1.6, 6.5e6},
	} {
		before := 0
		for k, n := range tt.sizes {
			spent := 0
			if _, err := Seen(stars(n, tt.sheer), Options{Work: 1 << 40, Spent: &spent}); err != nil {
				t.Fatal(err)
			}
			if k > 0 {
				grown := math.Log(float64(spent)/float64(before)) / math.Log(float64(n)/float64(tt.sizes[k-1]))
				if !(grown < tt.most) {
					t.Errorf("%s: from %d to %d looks grow from %d to %d: exponent %.2f, want less than %g", tt.name, tt.sizes[k-1], n, before, spent, grown, tt.most)
				}
			}
			before = spent
		}
		if float64(before) > tt.looks {
			t.Errorf("%s: %d looks at %d, want no more than %.0f", tt.name, before, tt.sizes[len(tt.sizes)-1], tt.looks)
		}
	}
}
