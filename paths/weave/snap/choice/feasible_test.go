package choice

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A set of bounds that goes back to a mark is what it was there, and so is its clone:
// the least numbers, the limits and the bounds.
func TestBoundSetGoesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const n = 5
		s := newBoundSet(slices.Repeat([]int{-4}, n), slices.Repeat([]int{6}, n))
		changeSome(t, s, n)
		base, was := s.mark(), s.clone()
		changeSome(t, s, n)
		s.rollback(base)
		if !sameBounds(s, was) {
			t.Fatalf("after going back %v, was %v", s, was)
		}
		changeSome(t, s, n)
		later := s.clone()
		base = later.mark()
		changeSome(t, later, n)
		later.rollback(base)
		if !sameBounds(later, s) {
			t.Fatalf("a clone that goes back is %v, was %v", later, s)
		}
	})
}

// changeSome takes in some bounds and limits, each of the owner of its turn.
func changeSome(t *rapid.T, s *boundSet, n int) {
	number := rapid.IntRange(0, n-1)
	for range rapid.IntRange(0, 6).Draw(t, "changes") {
		takeIn(s, drawDemand(t, number))
	}
}

// demand is what a set of bounds is asked to keep: a bound, a spacing or a limit.
type demand struct {
	kind  int
	bound bound
	owner int32
}

func drawDemand(t *rapid.T, number *rapid.Generator[int]) demand {
	return demand{
		kind:  rapid.IntRange(0, 2).Draw(t, "kind"),
		bound: bound{number.Draw(t, "u"), number.Draw(t, "v"), rapid.IntRange(-3, 4).Draw(t, "least")},
		owner: int32(rapid.IntRange(-1, 5).Draw(t, "owner")),
	}
}

// takeIn reports whether the set can keep a demand; then it does.
func takeIn(s *boundSet, d demand) bool {
	s.owner = d.owner
	b := d.bound
	switch d.kind {
	case 0:
		return s.add(b)
	case 1:
		return s.add(b, bound{b.v, b.u, -b.least})
	}
	return s.limit(b.v, b.least-3, b.least)
}

// What stands against a demand stands against it without all others too: a set of the
// demands of those to blame alone, and of nobody, refuses it.
func TestBlameIsEnoughToRefuse(t *testing.T) {
	refused := 0
	rapid.Check(t, func(t *rapid.T) {
		const n = 5
		number := rapid.IntRange(0, n-1)
		empty := func() *boundSet { return newBoundSet(slices.Repeat([]int{-4}, n), slices.Repeat([]int{6}, n)) }
		s := empty()
		var kept []demand
		for range rapid.IntRange(1, 12).Draw(t, "demands") {
			d := drawDemand(t, number)
			if takeIn(s, d) {
				kept = append(kept, d)
			}
		}
		d := drawDemand(t, number)
		d.owner = 6
		against := blame{}
		s.blame = &against
		if takeIn(s, d) {
			return
		}
		refused++
		few := empty()
		for _, k := range kept {
			if (k.owner == nobody || against[k.owner]) && !takeIn(few, k) {
				t.Fatalf("some of %v cannot be kept", kept)
			}
		}
		if takeIn(few, d) {
			t.Fatalf("%v is refused beside %v, and blamed on %v, who leave it room", d, kept, against)
		}
	})
	if refused == 0 {
		t.Fatal("nothing was refused")
	}
}

func sameBounds(a, b *boundSet) bool {
	return slices.Equal(a.k, b.k) && slices.Equal(a.most, b.most) && slices.Equal(a.all, b.all) &&
		slices.Equal(a.owners, b.owners) && slices.Equal(a.cause, b.cause) && slices.Equal(a.bars, b.bars) &&
		slices.EqualFunc(a.out, b.out, func(x, y []push) bool { return slices.Equal(x, y) })
}
