package snap

import (
	"math/rand/v2"
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// The small windows of a row of houses lie on no channels. A line that crosses one of them
// moves another way than its house, and would take it along by hundredths of a millimetre.
func TestWindowsGoWithTheirHouses(t *testing.T) {
	houses := slices.IndexFunc(kinds, func(k kind) bool { return k.name == "houses" })
	r := rand.New(rand.NewPCG(135, 4711))
	s := &sample{}
	kinds[houses].draw(r, s)
	s.stray(r)
	s.lay(r, monks, true)
	if v := s.look(mustSnap(t, s.strokes, monks, s.opt), monks); v.unequal {
		t.Error("the windows came out unequal")
	}
}

// A ring in each of a row of boxes, and a line beside one of the rings: the ring lies in
// its box as the others do, or a person is told by how much it does not.
func TestRingsLieAlikeInTheirBoxes(t *testing.T) {
	alike, told := 0, 0
	for i := range 60 {
		r := rand.New(rand.NewPCG(uint64(i), 5))
		apart := 40 + 5*r.Float64()
		var in []paths.Stroke
		var rings []int
		for k := range 4 {
			x := float64(k) * apart
			rings = append(rings, len(in)+1)
			in = append(in, box(x, 0, x+30, 30), paths.Stroke{paths.Circle(pt(x+11, 14), 3)})
		}
		x := apart + 5 + 12*r.Float64()
		in = append(in, paths.Polyline(pt(x, 5), pt(x, 25)))
		out := mustSnap(t, in, monks, Options{})
		off := 0.
		for _, k := range rings {
			at := func(k int) paths.Point {
				return out.Strokes[k].Bounds().Centre().Sub(out.Strokes[k-1].Bounds().Min)
			}
			off = max(off, at(k).Dist(at(rings[0])))
		}
		said := slices.ContainsFunc(out.Warnings, func(w weave.Warning) bool {
			return w.Code == "motif-unequal" || w.Code == "shape-bent"
		})
		switch {
		case off <= 1e-6:
			alike++
		case off <= toldUnequal || said:
			told++
		default:
			t.Errorf("%d: a ring lies %.3f mm off its place, and nobody is told", i, off)
		}
	}
	t.Logf("%d rows alike, %d told", alike, told)
	if alike < 30 {
		t.Errorf("only %d rows of 60 are alike", alike)
	}
}
