package snap

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/touch"
	"weftplot/paths/weave/snap/web"
)

// Of the straights of fans the same are dropped as by looking at all pairs that meet.
func TestForksAgainstLookingAtAll(t *testing.T) {
	opt := mustCheck(t, Options{})
	rapid.Check(t, func(t *rapid.T) {
		var in []paths.Stroke
		lean := rapid.Float64Range(-0.05, 0.05)
		far := rapid.Float64Range(7, 120)
		apex := pt(100, 150)
		end := func(way float64) paths.Point {
			far := way * far.Draw(t, "far")
			return apex.Add(pt(far*rapid.OneOf(lean, rapid.Just(0.), rapid.Just(0.02)).Draw(t, "lean"), far))
		}
		for range rapid.IntRange(touch.Heap/2, 3*touch.Heap).Draw(t, "lines") {
			switch rapid.IntRange(0, 4).Draw(t, "kind") {
			case 0: // through the apex
				e := end(1)
				in = append(in, paths.Polyline(e, apex.Add(apex.Sub(e).Mul(rapid.Float64Range(0.1, 1).Draw(t, "share")))))
			case 1: // bent there
				in = append(in, paths.Polyline(end(1), apex, end(-1)))
			case 2:
				in = append(in, paths.Polyline(apex, end(-1)))
			default:
				in = append(in, paths.Polyline(end(1), apex))
			}
		}
		s := &snapper{Web: web.New(in), grid: monks, opt: opt}
		found := findStraights(s.Web, weave.Across, s.grid, s.opt, nil)
		s.straights[weave.Across] = found
		s.dropForks(weave.Across)
		got := s.straights[weave.Across]
		if want := withoutForks(s, found); !slices.Equal(got, want) {
			t.Fatalf("of %d straights %d stay, want %d", len(found), len(got), len(want))
		}
	})
}

// withoutForks drops forks by looking at all pairs that see each other or meet.
func withoutForks(s *snapper, all []*straight) []*straight {
	s.straights[weave.Across] = all
	extents := make([]choice.Extent, len(all))
	index := map[*straight]int{}
	for i, r := range all {
		extents[i], index[r] = extent(r.mean/s.grid.Across, r.lo(), r.hi()), i
	}
	pairs, _ := choice.Neighbours(extents, choice.Apart)
	for i, r := range all {
		for _, v := range r.verts {
			for j := i + 1; j < len(all); j++ {
				if slices.Contains(all[j].verts, v) {
					pairs = append(pairs, choice.Pair{A: i, B: j})
				}
			}
		}
	}
	s.touching(weave.Across, func(v int, r *straight) {
		for j, q := range all {
			if q != r && slices.Contains(q.verts, v) {
				pairs = append(pairs, choice.Pair{A: index[r], B: j})
			}
		}
	})
	drop := map[*straight]bool{}
	for _, p := range pairs {
		a, b := all[p.A], all[p.B]
		if r := s.fork(a, b); r != nil && !drop[a] && !drop[b] {
			drop[r] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(all), func(r *straight) bool { return drop[r] })
}

func unit(angle float64) paths.Point { return pt(math.Cos(angle), math.Sin(angle)) }
