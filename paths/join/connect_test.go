package join

import (
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/near"
)

// The strangers of a vertex are all parts near it but those of its own set, whatever was
// joined in between.
func TestStrangersAgainstAll(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	strokes := make([]paths.Stroke, 400)
	for i := range strokes {
		x := 3 * r.Float64()
		strokes[i] = line(x, 0.1*r.Float64(), x+10, 0.1*r.Float64())
	}
	parts, _ := explode(strokes, make([]bool, len(strokes)), 0.05)
	vs, ends := vertices(parts)
	c := newConnection(ends, len(vs), 0)
	index := near.NewCurves(len(parts), func(i int) paths.Curve { return parts[i].Curve }, 0.05)
	s, fewer := newStrangers(c, index), 0
	for range 3000 {
		v := r.IntN(len(vs))
		var want, got, near []int
		index.Near(vs[v].Point, func(i int) bool {
			near = append(near, i)
			if c.needs(i, v) {
				want = append(want, i)
			}
			return true
		})
		s.near(v, vs[v].Point, func(i int) bool { got = append(got, i); return true })
		if len(near) >= crowded && !slices.Equal(got, want) {
			t.Fatalf("vertex %d: %v, want %v", v, got, want)
		}
		if len(got) < len(near) {
			fewer++
		}
		c.join(r.IntN(len(vs)), v)
	}
	if fewer < 1000 {
		t.Errorf("only %d of 3000 looked at fewer parts", fewer)
	}
}
