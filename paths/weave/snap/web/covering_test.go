package web

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/near"
)

// Each point gets the longest spans that cover it, as by looking at all, and those pairs
// say which spans hang together.
func TestCoverAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Map(rapid.IntRange(0, 60), func(n int) float64 { return float64(n) / 4 })
		spans := make([]Span, rapid.IntRange(1, 40).Draw(t, "spans"))
		var at []float64
		for i := range spans {
			a, b := place.Draw(t, "a"), place.Draw(t, "b")
			spans[i] = Span{min(a, b), max(a, b)}
			at = append(at, a, b)
		}
		slices.Sort(at)
		at = slices.Compact(at)
		most := rapid.IntRange(1, 5).Draw(t, "most")
		got := make([][]int, len(at))
		Cover(at, spans, most, func(point, span int) bool {
			got[point] = append(got[point], span)
			return true
		})
		long := make([]int, len(spans))
		for i := range long {
			long[i] = i
		}
		slices.SortStableFunc(long, func(a, b int) int { return cmp.Compare(spans[b].Hi-spans[b].Lo, spans[a].Hi-spans[a].Lo) })
		tied, hang := near.NewSets(len(spans)), near.NewSets(len(spans))
		for k, p := range at {
			var all []int
			for _, i := range long {
				if spans[i].Lo <= p && p <= spans[i].Hi {
					all = append(all, i)
					hang.Join(all[0], i)
				}
			}
			if !slices.Equal(got[k], all[:min(most, len(all))]) {
				t.Fatalf("the point at %g is covered by %v, got %v", p, all, got[k])
			}
			for _, i := range got[k] {
				tied.Join(got[k][0], i)
			}
			for i, s := range spans { // spans with one end in common hang together by that
				if s.Lo == p || s.Hi == p {
					tied.Join(got[k][0], i)
				}
			}
		}
		for i := range spans {
			if tied.Same(0, i) != hang.Same(0, i) {
				t.Fatalf("span %d of %v hangs together with the first: %v, by the pairs: %v", i, spans, hang.Same(0, i), tied.Same(0, i))
			}
		}
	})
}

// A span that is refused again and again is offered only so often.
func TestCoverEndsWhereAllIsRefused(t *testing.T) {
	offered := 0
	Cover([]float64{1}, make([]Span, 5), 2, func(int, int) bool { t.Error("no span covers the point"); return false })
	Cover([]float64{0}, make([]Span, 500), 2, func(int, int) bool { offered++; return false })
	if offered != 2*triesEach {
		t.Errorf("%d spans offered", offered)
	}
}

// Lines of one straight line are on one carrier, which reaches over them, and others are
// on none.
func TestCarriers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := unit(rapid.Float64Range(-3, 3).Draw(t, "angle"))
		from := pt(rapid.Float64Range(0, 300).Draw(t, "x"), rapid.Float64Range(0, 300).Draw(t, "y"))
		n := rapid.IntRange(3, 30).Draw(t, "lines")
		var lines []paths.Line
		for range n {
			a, b := rapid.Float64Range(0, 100).Draw(t, "a"), rapid.Float64Range(101, 200).Draw(t, "b")
			l := paths.Line{A: from.Add(u.Mul(a)), B: from.Add(u.Mul(b))}
			lines = append(lines, l, paths.Line{A: l.A.Add(u.Left()), B: l.A.Add(u.Left()).Add(u.Left())})
		}
		carriers, others := Carriers(lines, 2)
		on := len(others)
		for _, c := range carriers {
			on += len(c.Lines)
			for _, i := range c.Lines {
				if c.Hull.Dist(lines[i].A) > Joint || c.Hull.Dist(lines[i].B) > Joint {
					t.Errorf("%v is not on %v", lines[i], c.Hull)
				}
				if i%2 != c.Lines[0]%2 {
					t.Errorf("lines at right angles are on one carrier")
				}
			}
		}
		if on != len(lines) {
			t.Errorf("%d lines are on carriers or none, of %d", on, len(lines))
		}
		if c, o := Carriers(lines, len(lines)+1); len(c) != 0 || len(o) != len(lines) {
			t.Errorf("%d carriers of more lines than there are, %d others", len(c), len(o))
		}
	})
}

func unit(angle float64) paths.Point { return pt(math.Cos(angle), math.Sin(angle)) }
