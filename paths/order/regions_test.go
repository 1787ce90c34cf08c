package order

import (
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

// TestRegions has regions searched at a heat at which their tours change much: each
// stroke is still drawn once, in one tour, and the loops are entered at points of theirs.
// Of the tours that the changes make together, some are joined.
func TestRegions(t *testing.T) {
	joins, seeds := 0, uint64(3)
	if *thorough {
		seeds = 8
	}
	for seed := range seeds {
		strokes := ordertest.Uniform(1000, seed)
		if seed%2 == 1 {
			strokes = ordertest.RandomStrokes(rand.New(rand.NewPCG(seed, 37)), 1000)
		}
		f := newInstance(strokes, pt(0, 0), pt(5, 5), nil)
		near := newNeighbours(f)
		w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
		rng := rand.New(rand.NewPCG(seed, 41))
		r := &solver{}
		for round := range 4 {
			members := w.all()
			if round == 3 { // what moves lies among strokes that stay
				members = w.aroundLong(400)
			}
			before := w.cost()
			gains := make([]float64, 3)
			w.regions(members, 2, rng, func(number int, g *region, share float64) {
				was := g.cost()
				r.perturb(g.ordering, g.moving, rand.New(rand.NewPCG(seed, uint64(number))), int(1_000_000*share), cooling{5, 5})
				gains[number] = was - g.cost()
			})
			if diff := before - gains[0] - gains[1] - gains[2] - w.cost(); diff > 1e-6 || diff < -1e-6 {
				joins++ // costs a little, or gains it
			}
			drawn := make([]bool, len(strokes)+1)
			for _, e := range w.seq {
				drawn[e>>1] = true
			}
			if len(w.seq) != len(drawn) || slices.Contains(drawn, false) {
				t.Fatalf("seed %d: a stroke is not drawn, or another twice", seed)
			}
			for s, points := range w.f.loop {
				if p := w.f.pos[2*s]; points != nil && p != strokes[s].Start() && !slices.Contains(points, p) {
					t.Errorf("seed %d: loop %d is entered at %v, which is no point of it", seed, s, p)
				}
			}
		}
	}
	if joins == 0 {
		t.Error("no tours were joined")
	}
}

// TestUnite joins the three tours that hops in rings make of six dots in a row, by the
// exchanges that cost least: 2 mm each between neighbouring rings.
func TestUnite(t *testing.T) {
	f := newInstance(ordertest.Dots(linePoints(0, 0, 1, 3, 4, 6)), pt(7, 0), pt(7, 0), nil)
	near := newNeighbours(f)
	w := &ordering{f: f, near: near, seq: identity(6)}
	joined := make([]int32, 12)
	for s := range int32(6) {
		other := s ^ 1 // each dot with the next one, out and back
		joined[2*s+1], joined[2*s] = 2*other, 2*other+1
	}
	rings := w.rings(joined)
	if len(rings) != 3 {
		t.Fatalf("%d rings, want 3", len(rings))
	}
	for len(rings) > 1 {
		rings = w.joinSmallest(rings, joined)
	}
	w.seq = rings[0]
	if got := w.cost(); len(w.seq) != 6 || got != 14 {
		t.Errorf("%d strokes joined in a tour of %g mm, want 6 in 14 mm, out and back over 7 mm", len(w.seq), got)
	}
}

// linePoints returns points on the x axis.
func linePoints(xs ...float64) []paths.Point {
	out := make([]paths.Point, len(xs))
	for i, x := range xs {
		out[i] = pt(x, 0)
	}
	return out
}

// TestSettled: hops that the patches and regions say are settled are hardly ever worth looking
// at again in the whole tour, unlike those that they say are not.
func TestSettled(t *testing.T) {
	for _, kind := range []struct {
		name    string
		strokes []paths.Stroke
	}{{"segments", ordertest.Segments(2500, 3)}, {"loops", ordertest.Rings(1600, 3)}} {
		f := newInstance(kind.strokes, pt(0, 0), pt(0, 0), nil)
		near := newNeighbours(f)
		w := &ordering{f: f, near: near, seq: greedy(f, near, nil)}
		w.unsettled = slices.Repeat([]bool{true}, len(f.pos))
		r := solver{}
		r.descend(w, rand.New(rand.NewPCG(3, 9)), Quick)
		s := newSearch(newTour(f, near, slices.Clone(w.seq)), 1)
		var looked, gains [2]int // of the settled, and of the others
		for e := range int32(len(f.pos)) {
			k := 0
			if w.unsettled[e] {
				k = 1
			}
			looked[k]++
			if s.once(e) > 0 {
				gains[k]++
				s.undo(0)
			}
		}
		t.Logf("%s: of %d settled ends %d gain, of %d others %d", kind.name, looked[0], gains[0], looked[1], gains[1])
		if looked[0] < looked[1] {
			t.Errorf("%s: only %d of %d ends are settled", kind.name, looked[0], len(f.pos))
		}
		if gains[1] == 0 || 50*gains[0] > looked[0] || 5*gains[0]*looked[1] > gains[1]*looked[0] {
			t.Errorf("%s: %d of %d settled ends gain, and %d of %d others", kind.name, gains[0], looked[0], gains[1], looked[1])
		}
	}
}
