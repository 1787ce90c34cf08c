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
// in any tour, and the bound holds without that rule as well. tour is the travel of
// a tour that is known, in mm: the lengths of steps are taken from it, and what no shorter tour
// has is left out.
//
// For strokes without loops it is Held and Karp's (Operations Research 18, 1970;
// Mathematical Programming 1, 1971): the cheapest tree with prices added to the ends of
// strokes, less the prices, whatever they are. A loop may be entered anywhere, but is
// left where it is entered; a tree that takes it for one node does not see that, and joins
// what lies at its one side to what lies at its other for nothing. So the bound is taken by
// levels:
//
//   - The way from park to home is a stroke that is drawn already, and closes the tour.
//     Each end of a stroke, each dot and each of the parts that a loop is divided into is
//     a node with a price. The cost of a hop is its length and the prices of its two nodes;
//     a hop of parts is no shorter than they are apart. The tour is as long as its
//     hops cost, less the prices of the nodes where it has them: both ends of an open
//     stroke, and twice the node where it enters a loop or dot.
//   - At each level the nodes are grouped to islands: those that hops cheaper than the level
//     join, and both ends of a stroke. A hop costs no less than there are levels at which it leads
//     from one island to another; and at each level a closed tour has as many such hops as it comes
//     to islands, if it comes to more than one.
//   - Each island except home's is allotted to one of its strokes, and counts at
//     the nodes of that stroke. A loop that has all its nodes on an island counts wherever it is
//     visited, and one that has some, if it is visited there. The tour is then as long
//     at least as the sum over strokes of what counts at the node where each is visited, less
//     its prices; and that is no less than the least over the nodes of each.
//
// In terms of the generalized travelling salesman problem, the levels are a solution of the
// dual of its generalized subtour elimination constraints (Fischetti, Salazar González and
// Toth, Networks 26, 1995), of the form that Kruskal's method gives for spanning trees. The
// prices and the allotments are found by steps that need not be exact: raised and
// lowered by how many hops the bound counts at a node, with allotments by where the bound
// is cheapest of late. Parts of loops that are visited are parted on the way. All that is done with hops
// to near nodes, and those that come up in trees over all pairs; the bound itself is
// always taken over all pairs.
//
// How near it comes: 0.97 to 1 of the best known travel for straight strokes, and 0.91 for a
// drawing of which half the strokes are loops larger than the hops between them
// (TestBoundOfPublished). For few strokes with large loops it can be far below: half of a
// visit near home and half of it near park count as a whole one. So for few strokes
// ([mostWalked]) walks are tried besides; they give 0.97 to 1.
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
	if tour <= 0 {
		return 0, nil
	}
	total := rounds
	if len(strokes) <= mostWalked {
		total = 2 * rounds
	}
	meanHop := tour / float64(len(strokes)+1)
	most := max(firstPart*meanHop, lengthOfLoops(strokes)/min(mostParts, fewParts+partsEach*float64(len(strokes))))
	g := newGraph(strokes, home, park, most, most*lastPart/firstPart)
	low, stopped := trees(g, meanHop, func(done int) bool { return tick == nil || tick(done, total) })
	if len(strokes) > mostWalked || stopped || low >= enough*tour {
		return low, nil
	}
	return max(low, walks(strokes, home, park, tour, tick)), nil
}

// trees returns the bound that trees give, in mm, and whether it was stopped.
func trees(g *graph, meanHop float64, tick func(done int) bool) (low float64, stopped bool) {
	a := newAscent(g, meanHop)
	for round := 1; round <= rounds; round++ {
		if stopped = !tick(round - 1); stopped {
			break
		}
		done := float64(round) / rounds
		step := meanHop * between(firstStep, lastStep, done)
		if round%(rounds/stages) == 0 && round < rounds {
			a.refine(meanHop * partMargin)
		}
		if round%wholeEvery == 1 || round%(rounds/stages) == 0 {
			a.g.whole(a.price)
		}
		if round%forgetEvery == 0 {
			a.g.forget(a.price, max(forgetSteps*step, forgetMargin*meanHop))
		}
		if !a.round(max(memory, 1/float64(round)), step, meanHop*between(firstGive, lastGive, done)) {
			break
		}
	}
	return max(0, a.bound(meanHop*lastGive)), stopped
}

// walks returns the bound that walks give, in mm.
func walks(strokes []paths.Stroke, home, park paths.Point, tour float64, tick func(done, total int) bool) float64 {
	loops := lengthOfLoops(strokes)
	g := newGraph(strokes, home, park, loops/float64(firstWalked*len(strokes)), max(leastWalked*tour, loops/mostParts))
	return newWalker(g, tour).lower(func(done float64) bool {
		return tick == nil || tick(rounds+int(min(done, 1)*rounds), 2*rounds)
	})
}

// For walks, loops are divided into about firstWalked parts each to begin with, and no
// further than to leastWalked of the tour.
const (
	firstWalked = 6
	leastWalked = 2e-4
)

// between returns first at 0, last at 1, and changes by equal ratios between.
func between(first, last, at float64) float64 { return first * math.Pow(last/first, at) }

// lengthOfLoops returns the length of all loops together, in mm.
func lengthOfLoops(strokes []paths.Stroke) (sum float64) {
	for _, s := range strokes {
		if s.IsClosed() {
			sum += s.Length()
		}
	}
	return sum
}

// The ascent has rounds in equal stages. Between two stages the visited parts of loops are
// divided. Every wholeEvery rounds a tree is taken over all pairs, and the hops of it are
// known from then on. Every forgetEvery rounds hops that are too dear are forgotten.
const (
	rounds      = 500
	stages      = 5
	wholeEvery  = 25
	forgetEvery = 10
)

// Parts of loops begin about firstPart of the mean hop long and are divided down to
// lastPart of it. To begin with there are at most about mostParts of them, and at most about
// fewParts and partsEach for each stroke, because long loops close together would take too
// long otherwise.
const (
	firstPart = 0.7
	lastPart  = 0.04
	mostParts = 20000
	partsEach = 16
	fewParts  = 1000
)

// A step moves prices by about these shares of the mean hop, from the first round to the
// last. The visit of a loop is shared out among its parts by exp(-toll/give); the give is such
// a share, too.
const (
	firstStep, lastStep = 0.25, 0.004
	firstGive, lastGive = 0.15, 0.03
)

// memory is the share of the latest round in the running means of visits and prices.
const memory = 0.05

// When a part is divided, its pieces get those hops that are longer than the hop of the
// whole part by at most partMargin of the mean hop. Hops are forgotten that are dearer than
// others by forgetSteps steps, and by forgetMargin of the mean hop at least.
const (
	partMargin   = 0.3
	forgetSteps  = 40
	forgetMargin = 0.2
)
