package choice

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A set of bounds that goes back to a mark, or to a state after it, is what it was
// there: the least numbers, the limits and the bounds.
func TestBoundSetGoesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n = 5
		number := rapid.IntRange(0, n-1)
		s := newBoundSet(slices.Repeat([]int{-4}, n), slices.Repeat([]int{6}, n))
		change := func() {
			for range rapid.IntRange(0, 6).Draw(t, "changes") {
				u, v := number.Draw(t, "u"), number.Draw(t, "v")
				b := bound{u, v, rapid.IntRange(-3, 4).Draw(t, "least")}
				switch rapid.IntRange(0, 2).Draw(t, "kind") {
				case 0:
					s.add(b)
				case 1:
					s.add(b, bound{v, u, -b.least})
				default:
					s.limit(v, b.least-3, b.least)
				}
			}
		}
		change()
		base, was := s.mark(), s.since(mark{})
		change()
		later, is := s.since(base), s.since(mark{})
		s.rollback(base)
		if now := s.since(mark{}); !sameState(now, was) {
			t.Fatalf("after going back %v, was %v", now, was)
		}
		change()
		s.rollback(base)
		s.restore(later)
		if now := s.since(mark{}); !sameState(now, is) {
			t.Fatalf("restored %v, was %v", now, is)
		}
		change()
		s.rollback(base)
		if now := s.since(mark{}); !sameState(now, was) {
			t.Fatalf("after going back again %v, was %v", now, was)
		}
	})
}

func sameState(a, b state) bool {
	return slices.Equal(a.k, b.k) && slices.Equal(a.most, b.most) && slices.Equal(a.bounds, b.bounds)
}
