package snap

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"weftplot/paths/near"
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
	for _, i := range order {
		if s.partner[i] >= 0 {
			continue
		}
		image := items[i]
		image.at = 2*s.centre - image.at
		j := sort.Search(n, func(j int) bool { return at(j) >= image.at-mirrorSlack })
		for ; j < n && at(j) <= image.at+mirrorSlack; j++ {
			if o := order[j]; s.partner[o] < 0 && (o != i || math.Abs(at(j)-s.centre) <= mirrorSlack) && sameExtent(items[o], image) {
				s.partner[i], s.partner[o] = o, i
				break
			}
		}
		if s.partner[i] < 0 {
			return symmetry{}, false
		}
	}
	return s, true
}

func sameExtent(a, b item) bool {
	return math.Abs(a.lo-b.lo) <= mirrorSlack && math.Abs(a.hi-b.hi) <= mirrorSlack
}

// half returns the left half of the items with the axis moved to half of twice,
// fixed lines of both sides folded into it, and the index each came from.
// Items on the axis are fixed there, which takes an even twice.
func (s symmetry) half(items []item, tied *near.Sets, twice int) (out []item, from []int, same *near.Sets, ok bool) {
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
		case p == i || math.Abs(it.at-s.centre) <= mirrorSlack/2:
			if twice%2 != 0 {
				return nil, nil, nil, false
			}
			it.fixed, it.channel, it.at = true, twice/2, float64(twice)/2
		case it.at > s.centre:
			continue
		default:
			it.at += shift
		}
		place[i] = len(out)
		out, from = append(out, it), append(from, i)
	}
	for i := range items {
		if place[i] < 0 {
			place[i] = place[s.partner[i]]
		}
	}
	same = near.NewSets(len(out))
	for i := range tied.Len() {
		r := tied.Find(i)
		if r == i {
			continue
		}
		if (items[i].at <= s.centre) != (items[r].at <= s.centre) {
			return nil, nil, nil, false // a zigzag across the axis
		}
		same.Join(place[i], place[r])
	}
	return out, from, same, true
}

// chooseSymmetric returns the best channels that keep the symmetry. Twice the
// channel of the axis is one of the four whole numbers nearest to twice its
// place; of those the one that keeps most spacings even, then the cheapest.
func (s symmetry) chooseSymmetric(items []item, tied *near.Sets, pause *pause) (chosen, bool) {
	var best chosen
	found := false
	low := int(math.Floor(2 * s.centre))
	for _, twice := range []int{low, low + 1, low - 1, low + 2} {
		half, from, same, ok := s.half(items, tied, twice)
		if !ok {
			continue
		}
		a := chooseChannels(half, same, &twice, pause)
		a = s.unfold(a, items, from, twice)
		if !found || betterChoice(a, best) {
			best, found = a, true
		}
	}
	return best, found
}

func betterChoice(a, b chosen) bool {
	if c := cmp.Compare(len(a.crowded)+len(a.uneven), len(b.crowded)+len(b.uneven)); c != 0 {
		return c < 0
	}
	return a.cost < b.cost
}

// unfold turns the answer for the left half into one for all.
func (s symmetry) unfold(a chosen, items []item, from []int, twice int) chosen {
	out := chosen{channel: make([]int, len(items)), cost: 2 * a.cost}
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
	for _, p := range a.uneven {
		out.uneven = append(out.uneven, [2]int{from[p[0]], from[p[1]]})
	}
	return out
}
