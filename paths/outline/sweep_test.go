package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

// beside are fills, mostly beside one another, in any order.
var beside = []struct {
	name string
	of   func(rnd *rand.Rand, at float64) []paths.Stroke // at is from 0 to 1
}{
	{"rings", func(_ *rand.Rand, at float64) []paths.Stroke { return disc(100, 100, 10+80*at) }},
	{"bands of rings", func(_ *rand.Rand, at float64) []paths.Stroke {
		return append(disc(100, 100, 10+80*at), disc(100, 100, 9+80*at)...)
	}},
	{"rings, none quite round another's centre", func(rnd *rand.Rand, at float64) []paths.Stroke {
		return disc(100+rnd.Float64(), 100+rnd.Float64(), 10+80*at)
	}},
	{"strips", func(_ *rand.Rand, at float64) []paths.Stroke { return box(0, 200*at, 200, 1) }},
	{"turned squares", func(_ *rand.Rand, at float64) []paths.Stroke {
		r := 10 + 80*at
		s := box(-r, -r, 2*r, 2*r)[0].Transform(paths.Rotate(0.3).Then(paths.Translate(pt(100, 100))))
		return []paths.Stroke{s}
	}},
	{"waves", func(_ *rand.Rand, at float64) []paths.Stroke {
		y := 20 + 150*at
		return []paths.Stroke{{
			paths.Cubic{A: pt(0, y), B: pt(70, y+40), C: pt(130, y-40), D: pt(200, y)},
			paths.Line{A: pt(200, y), B: pt(200, y+30)}, paths.Line{A: pt(200, y+30), B: pt(0, y+30)},
		}}
	}},
	{"a fan", func(_ *rand.Rand, at float64) []paths.Stroke {
		sin, cos := math.Sincos(at)
		return []paths.Stroke{paths.Polyline(pt(0, 0), pt(200*cos, 200*sin), pt(150, -20), pt(0, 0))}
	}},
}

// What a sweep tells of a cell is what is seen by definition: asked of all fills at the
// point, whether it lies on an edge or between two.
func TestSweepTellsWhatIsSeen(t *testing.T) {
	rnd := rand.New(rand.NewPCG(19, 11))
	for _, kind := range beside {
		cells, hidden, round := 0, 0, 0
		for sheet := range 4 {
			p := newPlane(sheetOf(rnd, kind.of, 40, sheet), Options{Near: 1e-6, Work: 1 << 40})
			p.gather()
			p.plant()
			p.lay()
			var all []int32
			for i := range slices.Backward(p.fills) {
				all = append(all, int32(i))
			}
			for i := range p.cells {
				c := &p.cells[i]
				if c.quarters > 0 || !p.isSwept(c) {
					continue
				}
				if cells++; p.sweepOf(c).way.round {
					round++
				}
				for range 3 {
					if p.checkSweep(t, fmt.Sprint(kind.name, " ", sheet), c, rnd, all) {
						hidden++
					}
				}
			}
		}
		if cells < 20 || hidden < 5 || kind.name == "rings" && round < 20 {
			t.Errorf("%s: %d cells were swept, %d of them round a centre, and %d places were hidden: too few to tell", kind.name, cells, round, hidden)
		}
	}
}

func sheetOf(rnd *rand.Rand, of func(rnd *rand.Rand, at float64) []paths.Stroke, n, sheet int) (fills []Fill) {
	for i := range n {
		at := float64(i) / float64(n)
		if sheet%2 == 1 {
			at = rnd.Float64()
		}
		f := Fill{Area: of(rnd, at), Colour: []string{"red", "blue"}[rnd.IntN(2)], EvenOdd: true}
		f.Sheer = sheet > 1 && rnd.IntN(4) == 0
		fills = append(fills, f)
	}
	rnd.Shuffle(len(fills), func(i, k int) { fills[i], fills[k] = fills[k], fills[i] })
	return fills
}

// checkSweep checks a point on an edge in a cell, and one anywhere in it. It reports whether
// the edge is told to be hidden.
func (p *plane) checkSweep(t *testing.T, name string, c *cell, rnd *rand.Rand, all []int32) bool {
	t.Helper()
	s := c.pieces[rnd.IntN(len(c.pieces))]
	curve, mid := p.parts[s.part].c, s.t0+(s.t1-s.t0)*rnd.Float64()
	at, side := curve.At(mid), curve.Tangent(mid).Left().Mul(aside*p.tol)
	if !c.box.Contains(at) {
		return false
	}
	any := pt(c.box.Min.X+rnd.Float64()*c.box.Width(), c.box.Min.Y+rnd.Float64()*c.box.Height())
	for _, ask := range [][2]paths.Point{{at.Add(side), at}, {at.Sub(side), at}, {any, any}} {
		got, want := p.visible(ask[0], slices.Clone(p.candidates(ask[1]))), p.visible(ask[0], all)
		if !slices.Equal(got, want) {
			t.Fatalf("%s: at %v fills %v are seen by the sweep, %v by definition", name, ask[0], got, want)
		}
	}
	fill := p.winderOf(s.part)
	around := slices.Clone(p.candidates(at))
	if got, want := p.sharesEdge(fill, at.Add(side), at.Sub(side), around), p.sharesEdge(fill, at.Add(side), at.Sub(side), all); got != want {
		t.Fatalf("%s: at %v that fill %d shares its edge is %v by the sweep, %v by definition", name, at, fill, got, want)
	}
	lower := int32(rnd.IntN(fill + 1))
	hides := p.sweepOf(c).hides(p, at, lower)
	for k := range 8 {
		sin, cos := math.Sincos(float64(k))
		seen := p.visible(at.Add(pt(cos, sin).Mul(p.tol*reach/4)), all)
		if hides && (len(seen) == 0 || seen[len(seen)-1] <= int(lower) || p.fills[seen[len(seen)-1]].Sheer) {
			t.Fatalf("%s: at %v all fills up to %d are told to be hidden, and %v are seen", name, at, lower, seen)
		}
	}
	return hides
}
