package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// mirrorSlack is how far a line may lie from its partner's mirror image, in
// channels, in a design that is meant to be symmetric.
const mirrorSlack = 0.02

// symmetry pairs the items of a symmetric design.
type symmetry struct {
	centre  float64 // the place of the axis
	partner []int   // by item; its own on the axis
}

// symmetryOf looks for the axis that maps the items onto themselves: it can only
// lie halfway between the outermost. Fixed lines do not count.
func symmetryOf(items []item) (symmetry, bool) {
	order := make([]int, 0, len(items))
	for i, it := range items {
		if !it.fixed {
			order = append(order, i)
		}
	}
	if len(order) == 0 {
		return symmetry{}, false
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(items[a].at, items[b].at) })
	at := func(i int) float64 { return items[order[i]].at }
	n := len(order)
	s := symmetry{(at(0) + at(n-1)) / 2, make([]int, len(items))}
	for i := range s.partner {
		s.partner[i] = -1
	}
	free := newUnused(n)
	for k, i := range order {
		if s.partner[i] >= 0 {
			continue
		}
		image := items[i]
		image.at = 2*s.centre - image.at
		j := sort.Search(n, func(j int) bool { return at(j) >= image.at-mirrorSlack })
		for j = free.from(j); j < n && at(j) <= image.at+mirrorSlack; j = free.from(j + 1) {
			if o := order[j]; (o != i || math.Abs(at(j)-s.centre) <= mirrorSlack) && sameExtent(items[o], image) {
				s.partner[i], s.partner[o] = o, i
				free.take(k)
				free.take(j)
				break
			}
		}
		if s.partner[i] < 0 {
			return symmetry{}, false
		}
	}
	return s, true
}

// unused finds the places of a list that are not taken yet, without stepping over the
// taken ones one by one: thousands of equal lines may lie at one place. Each free place
// is in one set with the taken ones just before it. Sets go by their least member, so
// the places are numbered from the end.
type unused struct{ sets *near.Sets }

func newUnused(n int) unused { return unused{near.NewSets(n + 1)} }

// from returns the first free place at or after i, or the length of the list.
func (u unused) from(i int) int {
	last := u.sets.Len() - 1
	return last - u.sets.Find(last-i)
}

// take makes place i taken; it may be so already.
func (u unused) take(i int) {
	last := u.sets.Len() - 1
	u.sets.Join(last-i, last-i-1)
}

func sameExtent(a, b item) bool {
	return math.Abs(a.lo-b.lo) <= mirrorSlack && math.Abs(a.hi-b.hi) <= mirrorSlack
}

// half returns the left half of what is given, with the axis moved to half of
// twice, fixed lines of both sides folded into it, and the index each item came
// from. Items on the axis are fixed there, which takes an even twice.
func (s symmetry) half(g given, twice int) (out given, from []int, ok bool) {
	items := g.items
	place := make([]int, len(items)) // by item, where its left half is in out
	shift := float64(twice)/2 - s.centre
	for i, it := range items {
		place[i] = -1
		switch p := s.partner[i]; {
		case it.fixed: // its distance from the others stays, wherever its channel is
			if it.at > s.centre {
				it.channel, it.at = twice-it.channel, 2*s.centre-it.at
			}
			it.at += shift
		case s.onAxis(i, it):
			if twice%2 != 0 || it.named && 2*it.channel != twice {
				return out, nil, false
			}
			it.fixed, it.channel, it.at = true, twice/2, float64(twice)/2
		case it.at > s.centre:
			place[i] = -1 - p // its partner's, when that is known
			continue
		default:
			it.at += shift
			if it, ok = withImage(it, items[p], twice); !ok {
				return out, nil, false
			}
		}
		place[i] = len(out.items)
		out.items, from = append(out.items, it), append(from, i)
	}
	for i, p := range place {
		if p < 0 {
			place[i] = place[-1-p]
		}
	}
	out.centre, out.pause = &twice, g.pause
	if g.room != nil {
		out.room = &span{max(g.room.lo, twice-g.room.hi), min(g.room.hi, twice-g.room.lo)}
	}
	out.links = s.halfLinks(g, place)
	out.needs = s.halfNeeds(g, place)
	out.tied, ok = s.halfTied(g, place, len(out.items))
	return out, from, ok
}

// halfTied returns which of the items of the left half share a channel. It is not ok
// where a zigzag across the axis ties some of both sides.
func (s symmetry) halfTied(g given, place []int, items int) (tied *near.Sets, ok bool) {
	tied = near.NewSets(items)
	for i := range g.tied.Len() {
		r := g.tied.Find(i)
		if r == i {
			continue
		}
		if (g.items[i].at <= s.centre) != (g.items[r].at <= s.centre) {
			return nil, false
		}
		tied.Join(place[i], place[r])
	}
	return tied, true
}

// withImage returns an item of the left half that keeps what its image is to keep: its
// limits, and the channel that a person named. It is not ok where two names are at odds.
func withImage(it, image item, twice int) (out item, ok bool) {
	if it.within != nil {
		it.within = &span{max(it.within.lo, twice-image.within.hi), min(it.within.hi, twice-image.within.lo)}
	}
	switch {
	case it.named && image.named:
		return it, it.channel+image.channel == twice
	case image.named:
		it.named, it.channel = true, twice-image.channel
	}
	return it, true
}

// onAxis reports whether item i lies on the axis.
func (s symmetry) onAxis(i int, it item) bool {
	return s.partner[i] == i || math.Abs(it.at-s.centre) <= mirrorSlack/2
}

// halfLinks returns the links as the left half sees them. One that crosses the
// axis is left out, unless it joins an item to its image: what it asks for
// follows from the others.
func (s symmetry) halfLinks(g given, place []int) (out []link) {
	right := func(i int) bool { return g.items[i].at > s.centre && !s.onAxis(i, g.items[i]) }
	for _, l := range g.links {
		a, b := place[l.a], place[l.b]
		switch {
		case !right(l.a) && !right(l.b):
			out = append(out, link{a, b, l.sure})
		case right(l.a) && right(l.b):
			out = append(out, link{b, a, l.sure})
		case a == b:
			out = append(out, link{a, axisOf, l.sure})
		}
	}
	return out
}

// chooseSymmetric returns the best channels that keep the symmetry. Twice the
// channel of the axis is one of the four whole numbers nearest to twice its place:
// the one that loses the fewest places, then the cheapest. Where the fixed lines lie
// about the drawn axis too, one beside theirs comes last that loses some, or has
// sizes that recur from fixed lines on.
func (s symmetry) chooseSymmetric(g given) (best chosen, axis int, found bool) {
	low := int(math.Floor(2 * s.centre))
	of, lie := s.axisOfFixed(g.items)
	for _, twice := range []int{low, low + 1, low - 1, low + 2} {
		half, from, ok := s.half(g, twice)
		if !ok {
			continue
		}
		left := chooseChannels(half)
		if left.refused != nil {
			continue
		}
		a := s.unfold(left, g.items, from, twice)
		a.aside = lie && twice != of && (a.misses() > 0 || a.reachesFixed(g.items))
		if !found || betterChoice(a, best) {
			best, axis, found = a, twice, true
		}
	}
	return best, axis, found
}

// reachesFixed reports whether a size that recurs stands beside a fixed line.
func (a chosen) reachesFixed(items []item) bool {
	return slices.ContainsFunc(a.evened, func(e evened) bool {
		return slices.ContainsFunc(e.places, func(p [2]int) bool { return items[p[0]].fixed || items[p[1]].fixed })
	})
}

// axisOfFixed returns twice the channel of the middle of the fixed lines, and whether
// the axis lies there as drawn.
func (s symmetry) axisOfFixed(items []item) (twice int, ok bool) {
	lo, hi := math.MaxInt, math.MinInt
	for _, it := range items {
		if it.fixed {
			lo, hi = min(lo, it.channel), max(hi, it.channel)
		}
	}
	if lo > hi {
		return 0, false
	}
	return lo + hi, math.Abs(float64(lo+hi)-2*s.centre) <= 2*mirrorSlack
}

func betterChoice(a, b chosen) bool {
	if a.aside != b.aside {
		return b.aside
	}
	if c := cmp.Compare(a.misses(), b.misses()); c != 0 {
		return c < 0
	}
	return a.cost < b.cost
}

// misses returns how many places are not as they should be.
func (a chosen) misses() int {
	n := len(a.crowded) + a.unmet
	for _, e := range a.evened {
		n += len(e.lost)
	}
	return n
}

// unfold turns the answer for the left half into one for all.
func (s symmetry) unfold(a chosen, items []item, from []int, twice int) chosen {
	out := chosen{channel: make([]int, len(items)), cost: 2 * a.cost, proved: a.proved, evened: a.evened, unmet: a.unmet}
	for j, i := range from {
		if items[i].fixed {
			out.channel[i] = items[i].channel
			continue
		}
		out.channel[i] = a.channel[j]
		out.channel[s.partner[i]] = twice - a.channel[j]
	}
	shift := float64(twice) - 2*s.centre
	for i, it := range items {
		if !it.fixed && s.partner[i] != i {
			out.cost += it.weight * shift * shift / 4
		} else if !it.fixed {
			d := float64(twice)/2 - it.at
			out.cost += it.weight * d * d
		}
	}
	for _, p := range a.crowded {
		out.crowded = append(out.crowded, [2]int{from[p[0]], from[p[1]]})
	}
	for i, e := range out.evened {
		out.evened[i] = s.unfoldPlaces(e, items, from)
	}
	return out
}

// unfoldPlaces returns what came of a rhythm of the left half for all of the design:
// with the mirror images of its places.
func (s symmetry) unfoldPlaces(e evened, items []item, from []int) evened {
	out := e
	out.places, out.lost = nil, nil
	image := func(i int) int {
		if items[i].fixed {
			return i
		}
		return s.partner[i]
	}
	for j, p := range e.places {
		a, b := from[p[0]], from[p[1]]
		if p[0] == p[1] { // across the axis
			b = s.partner[a]
		}
		copies := [][2]int{{a, b}}
		if i, j := image(b), image(a); p[0] != p[1] && (i != a || j != b) {
			copies = append(copies, [2]int{i, j})
		}
		for _, c := range copies {
			if slices.Contains(e.lost, j) {
				out.lost = append(out.lost, len(out.places))
			}
			out.places = append(out.places, c)
		}
	}
	return out
}

// findMirrors keeps of the mirrors of the choice of channels those of the whole
// design, and finds which straights they turn end for end.
func (s *snapper) findMirrors() {
	for axis, m := range s.mirrors {
		if m != nil && !s.boxesMirror(weave.Axis(axis), m.before) {
			s.mirrors[axis] = nil
		}
	}
	for axis := range s.flips {
		if m := s.mirrors[1-axis]; m != nil && s.turnsOver(weave.Axis(axis), m.before) {
			s.flips[axis] = m
		}
	}
}

// boxesMirror reports whether the boxes of the motifs are their own mirror image
// about a line of an axis, mm.
func (s *snapper) boxesMirror(axis weave.Axis, middle float64) bool {
	slack := 2 * mirrorSlack * s.grid.Pitch(axis)
	corner := func(b paths.Rect) [4]float64 {
		lo, from := axis.Split(b.Min)
		hi, to := axis.Split(b.Max)
		return [4]float64{lo, hi, from, to}
	}
	boxes := make([][4]float64, len(s.motifs))
	for n := range s.motifs {
		boxes[n] = corner(s.motifs[n].box)
	}
	slices.SortFunc(boxes, func(a, b [4]float64) int { return slices.Compare(a[:], b[:]) })
	free := newUnused(len(boxes))
	for _, b := range boxes {
		image := [4]float64{2*middle - b[1], 2*middle - b[0], b[2], b[3]}
		i := sort.Search(len(boxes), func(i int) bool { return boxes[i][0] >= image[0]-slack })
		for i = free.from(i); i < len(boxes) && boxes[i][0] <= image[0]+slack; i = free.from(i + 1) {
			if math.Abs(boxes[i][1]-image[1]) <= slack && math.Abs(boxes[i][2]-image[2]) <= slack && math.Abs(boxes[i][3]-image[3]) <= slack {
				free.take(i)
				break
			}
		}
		if i == len(boxes) || boxes[i][0] > image[0]+slack {
			return false
		}
	}
	return true
}

// turnsOver reports whether the straights of an axis are the same turned end for
// end about a middle, in mm, channels and all.
func (s *snapper) turnsOver(axis weave.Axis, middle float64) bool {
	rs := slices.Clone(s.straights[axis])
	slices.SortStableFunc(rs, func(a, b *straight) int {
		return cmp.Or(cmp.Compare(a.channel, b.channel), cmp.Compare(a.lo(), b.lo()))
	})
	slack := mirrorSlack * s.grid.Step(axis)
	free := newUnused(len(rs))
	for _, r := range rs {
		lo := 2*middle - r.hi()
		i := sort.Search(len(rs), func(i int) bool {
			return rs[i].channel > r.channel || rs[i].channel == r.channel && rs[i].lo() >= lo-slack
		})
		for i = free.from(i); i < len(rs) && rs[i].channel == r.channel && rs[i].lo() <= lo+slack; i = free.from(i + 1) {
			image := rs[i]
			if math.Abs(image.hi()-(2*middle-r.lo())) <= slack && math.Abs(image.mean-r.mean) <= mirrorSlack*s.grid.Pitch(axis) {
				free.take(i)
				break
			}
		}
		if i >= len(rs) || rs[i].channel != r.channel || rs[i].lo() > lo+slack {
			return false
		}
	}
	return true
}
