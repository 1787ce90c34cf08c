// Package bound finds how short the travel of any order of strokes must at least be, so
// that a person can be told how much a longer search could still save.
package bound

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Most is the greatest number of strokes of a group for which [Lower]
// finds a bound: its work grows with their square.
const Most = 5000

// Lower returns a pen-up distance in mm that no tour from home through all
// strokes to the park position falls below. Groups are taken one after the other
// in any tour, and the bound holds without that rule as well.
//
// It is Held and Karp's (Operations Research 18, 1970; Mathematical Programming 1,
// 1971): a tour has one hop at each end of a stroke and joins all strokes, so it is
// no shorter than the least spanning tree of the strokes with prices added to its
// ends, less the prices, whatever they are. Here a tour is closed by the way from
// park to home, a stroke that is drawn already. A tour is then one hop more than a
// tree: the tree leaves out the way from park to home, as the 1-tree leaves out one
// city, and has the cheapest hop at park and the cheapest at home besides.
//
// The prices are found with the hops to near neighbours, and those that come up in
// trees over all pairs; the bound itself is always taken over all pairs. A
// loop may be entered anywhere: it is one node of the tree with two hops, and a hop to it
// costs the distance to its nearest point. What a tour must travel more, because it
// leaves a loop where it enters it, is bounded by the least visits (visits.go). That is not
// all of it: in the tree, a loop still joins what lies at its one side to what lies at its
// other, for nothing. The bound is loose where loops are large compared with the ways
// between them; TestBoundOfLargeLoops has the example.
//
// tick, when set, is called before each round of the ascent with the rounds that are done
// and planned, and returns whether to go on: if not, the bound so far is returned, and is
// valid. The error is a [fault.Error] of kind
// [fault.Fit] for more than [Most] strokes.
func Lower(strokes []paths.Stroke, home, park paths.Point, tour float64, tick func(done, total int) bool) (float64, error) {
	if len(strokes) > Most {
		return 0, fault.TooBig("bound of travel", "leave the bound out", "%d strokes are more than the %d that a bound is found for", len(strokes), Most)
	}
	if len(strokes) == 0 {
		return home.Dist(park), nil
	}
	a := newAscent(strokes, home, park)
	bound := a.whole()
	hop := tour / float64(len(strokes)+1)
	for round := 1; round <= ascentRounds && (tick == nil || tick(round-1, ascentRounds)); round++ {
		a.near()
		if !a.reprice(hop * firstStep * math.Pow(lastStep/firstStep, float64(round)/ascentRounds)) {
			break
		}
		if round%wholeEvery == 0 {
			bound = max(bound, a.whole())
		}
	}
	bound = max(bound, a.whole())
	// The sums are rounded: each term to 2^-53 of what there is by then.
	var size float64
	for _, p := range a.price {
		size += math.Abs(p)
	}
	for _, s := range a.sides {
		size += math.Abs(s.toll)
	}
	bound -= 1e-15 * float64(len(a.price)+len(a.sides)) * (size + tour)
	return max(0, bound), nil
}

// The ascent has this many rounds, and every so often the bound is taken over all
// pairs; the hops that come up there count from then on.
const (
	ascentRounds = 300
	wholeEvery   = 60
)

// A step of the ascent is about as long as these shares of the mean hop, at first and at last.
const (
	firstStep = 0.25
	lastStep  = 0.004
)
