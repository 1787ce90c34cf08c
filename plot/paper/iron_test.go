package paper

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot/lptest"
)

// exactCover is the least number of sets that cover everything, by an integer program
// (GNU GLPK).
func exactCover(t *testing.T, c *cover) int {
	t.Helper()
	var b strings.Builder
	b.WriteString("Minimize\n obj:")
	for i := range c.sets {
		fmt.Fprintf(&b, " + x%d", i)
		if i%20 == 19 {
			b.WriteString("\n")
		}
	}
	b.WriteString("\nSubject To\n")
	for i := range c.n {
		for k, s := range c.of[i] {
			if k%20 == 19 {
				b.WriteString("\n")
			}
			fmt.Fprintf(&b, " + x%d", s)
		}
		b.WriteString(" >= 1\n")
	}
	b.WriteString("Binary\n")
	for i := range c.sets {
		fmt.Fprintf(&b, " x%d\n", i)
	}
	b.WriteString("End\n")
	return lptest.Solve(t, b.String())
}

// The places of the iron against an exact cover of the same ink.
func TestIronAgainstAnExactCover(t *testing.T) {
	lptest.NeedsSolver(t)
	rng := rand.New(rand.NewPCG(17, 3))
	cases := 2
	if *every {
		cases = 40
	}
	worst, solved := 0, 0
	for range cases {
		var strokes []paths.Stroke
		for range 2 + rng.IntN(4) {
			strokes = append(strokes, paths.Stroke{paths.Circle(pt(rng.Float64()*400, rng.Float64()*400), 10+rng.Float64()*60)})
		}
		p := pattern(strokes...)
		places, cell, _ := Places(p, 101.6, 203.2)
		c, _ := ironing(newField(p, cell), 101.6, 203.2)
		want := exactCover(t, c)
		if want < 0 {
			continue // not proved in its time
		}
		solved++
		worst = max(worst, len(places)-want)
		if len(places) > want+1 || len(places) < want {
			t.Errorf("%d places, %d are enough", len(places), want)
		}
	}
	t.Logf("%d cases proved, %d more at most", solved, worst)
}

// All ink is under the iron once.
func TestIronCoversAllInk(t *testing.T) {
	places, _, _ := Places(harbour(), 101.6, 203.2)
	for _, k := range harbour().Ink {
		for _, q := range k.Stroke.Flatten(0.1) {
			under := false
			for _, p := range places {
				under = under || p.Sole.Grow(1e-6).Contains(q)
			}
			if !under {
				t.Fatalf("%v is never ironed", q)
			}
		}
	}
}
