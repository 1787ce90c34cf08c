package inspect

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
)

// What is told of lattices, whose cells hold the same lists in rows, is what is told when
// every segment is held against every earlier one.
func TestLatticeAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []paths.Stroke
		turn := paths.Rotate(rapid.SampledFrom([]float64{0, 0, math.Pi / 2, 0.3}).Draw(t, "turn"))
		for range rapid.IntRange(2, 24).Draw(t, "lines") {
			x, to := rapid.Float64Range(0, 60).Draw(t, "x"), rapid.Float64Range(1, 60).Draw(t, "to")
			s := paths.Polyline(at(x, 0), at(x, to))
			if rapid.Bool().Draw(t, "across") {
				s = paths.Polyline(at(0, x), at(to, x))
			}
			list = append(list, s.Transform(turn))
		}
		f := newDrawing(list, monks)
		none := func(int32) bool { return false }
		p, all := f.newPairing(none), f.newPairing(none)
		if !p.all() {
			t.Fatal("so few are not looked at")
		}
		for i := range f.segs {
			for j := range i {
				all.pair(&f.segs[i], int32(j))
			}
		}
		for _, kind := range []func(p *pairing) []Found{(*pairing).doubles, (*pairing).close} {
			got, want := kind(p), kind(all)
			if len(got) != len(want) {
				t.Fatalf("%d places are found, by all pairs %d", len(got), len(want))
			}
			for k := range got {
				if got[k] != want[k] {
					t.Fatalf("found %+v, by all pairs %+v", got[k], want[k])
				}
			}
		}
	})
}

// Of a lattice of long lines a list of segments that many cells hold is read once for each
// line: most looks are at cells.
func TestLatticeLooks(t *testing.T) {
	const n = 1000
	list := each(n, func(i int) paths.Stroke {
		x := 260 * float64(i/2) / (n / 2)
		if i%2 == 0 {
			return paths.Polyline(at(x, 0), at(x, 260))
		}
		return paths.Polyline(at(0, x), at(260, x))
	})
	f := newDrawing(list, monks)
	f.inspect(list)
	if most := 600 * n; f.work > most {
		t.Errorf("%d looks at %d lines, want no more than %d", f.work, n, most)
	}
}
