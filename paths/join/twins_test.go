package join

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
)

// heap returns arcs and cubics by turns that are nearly on one another, in either direction.
func heap(r *rand.Rand, n int, spread float64) []part {
	bit := func() paths.Point { return pt(spread*r.Float64(), spread*r.Float64()) }
	out := make([]part, n)
	for i := range out {
		var c paths.Curve = paths.Cubic{A: bit(), B: pt(40, 0).Add(bit()), C: pt(0, 40).Add(bit()), D: pt(9, 9).Add(bit())}
		if i%2 == 0 {
			c = paths.ArcAround(bit(), 5+spread*r.Float64(), 6*r.Float64(), 2*math.Pi*min(1, 0.2+r.Float64()))
		}
		if r.IntN(2) == 0 {
			c = c.Reverse()
		}
		out[i] = part{Curve: c}
	}
	return out
}

// Among the twins of a part are all that it lies on or that lie on it, as a look at every pair
// finds them, and hardly any that differ by more.
func TestTwinsAgainstAllPairs(t *testing.T) {
	const tol = 0.05
	r := rand.New(rand.NewPCG(1, 5))
	for _, spread := range []float64{0.02, 0.1, 0.3} {
		parts := heap(r, 300, spread)
		left := make([][]part, len(parts))
		for i := range left {
			left[i] = parts[i : i+1]
		}
		tw, pairs, found := newTwins(parts, tol), 0, 0
		for i, p := range parts {
			of := tw.of(nil, i, left)
			if !slices.IsSorted(of) {
				t.Fatalf("not rising: %v", of)
			}
			for j := range i {
				if len(covered(p.Curve, parts[j].Curve, tol)) > 0 || len(covered(parts[j].Curve, p.Curve, tol)) > 0 {
					pairs++
					if !slices.Contains(of, j) {
						t.Fatalf("spread %g: %v lies on %v, which is not found", spread, p.Curve, parts[j].Curve)
					}
				}
			}
			found += len(of)
			tw.add(i)
		}
		if pairs == 0 || found > 40*pairs {
			t.Errorf("spread %g: %d pairs are looked at, of which %d lie on one another", spread, found, pairs)
		}
	}
}

// Where very many are nearly one, those of which nothing is left are left out.
func TestTwinsOfNothingLeft(t *testing.T) {
	parts := heap(rand.New(rand.NewPCG(2, 5)), 2*crowded+2, 0)
	left := make([][]part, len(parts))
	left[4] = parts[4:5]
	tw := newTwins(parts, 0.05)
	for i := range 20 {
		tw.add(i)
	}
	if of := tw.of(nil, 20, left); len(of) != 10 {
		t.Errorf("of few %v are found", of)
	}
	for i := 20; i < len(parts); i++ {
		tw.add(i)
	}
	if of := tw.of(nil, 20, left); !slices.Equal(of, []int{4}) {
		t.Errorf("of very many %v are found", of)
	}
}

// What is covered of an arc by another of nearly the same circle is what lies in the directions
// of the other, in one stretch where they go on over its seam.
func TestCoveredArcsAgainstDirections(t *testing.T) {
	const tol = 0.05
	r := rand.New(rand.NewPCG(3, 5))
	for range 2000 {
		bit := func() float64 { return 0.015 * r.Float64() }
		arc := func() paths.Arc {
			sweep := min(2*math.Pi, 7*r.Float64()+0.1)
			if r.IntN(2) == 0 {
				sweep = -sweep
			}
			return paths.ArcAround(pt(bit(), bit()), 50+bit(), 6*r.Float64(), sweep)
		}
		c, d := arc(), arc()
		got := covered(c, d, tol)
		if d.From == d.To && !isAll(got) {
			t.Fatalf("of %v all lies on the circle %v, not %v", c, d, got)
		}
		for k := 1; k < 200; k++ {
			at := float64(k) / 200
			// How far past the start of d, in its direction.
			turn := c.At(at).Sub(d.Centre).Angle() - d.From.Sub(d.Centre).Angle()
			turn = math.Mod(math.Copysign(1, d.Sweep)*turn+4*math.Pi, 2*math.Pi)
			if past := math.Abs(turn - math.Abs(d.Sweep)); past < 0.01 || turn < 0.01 || turn > 2*math.Pi-0.01 {
				continue // too near an end to say
			}
			in := slices.ContainsFunc(got, func(iv [2]float64) bool { return iv[0] <= at && at <= iv[1] })
			if on := turn < math.Abs(d.Sweep); in != on {
				t.Fatalf("%v at %g lies on %v: %v, said %v in %v", c, at, d, on, in, got)
			}
		}
	}
}
