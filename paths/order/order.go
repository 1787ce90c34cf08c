package order

import (
	"weftplot/paths"
	"weftplot/paths/fault"
)

// Hop returns the cost of travelling pen up from one point to another. It must
// be symmetric, finite and not negative, and grow with the distance.
type Hop func(from, to paths.Point) float64

// Options say where a tour starts and ends and which cost it minimises. The
// zero value orders from the origin back to the origin with normal effort.
type Options struct {
	// Home is where the pen stands before the first stroke, Park where it goes
	// after the last.
	Home, Park paths.Point
	// Effort is how long to look for a shorter tour; the zero value is [Normal].
	Effort Effort
	// Cost is summed over all hops, and the sum is minimised; nil means
	// distance.
	Cost Hop
	// Progress, when set, is called now and then with how much of the planned
	// work is done and about the least cost found so far, in the unit of Cost.
	Progress func(done, total int, best float64)
	// Stop, when set, is asked now and then whether to end the search and keep
	// the best tour found so far. Calls of one function never overlap, but they
	// come from goroutines other than the caller's.
	Stop func() bool
}

// Placed is one stroke of a tour.
type Placed struct {
	// Group and Index say which of the given strokes it is.
	Group, Index int
	// Stroke is the stroke as it is drawn: the given one, perhaps reversed, or
	// begun at another of its points when it is closed.
	Stroke paths.Stroke
	// Reversed reports that it is drawn against the direction it came in.
	Reversed bool
}

// Result is a tour through all strokes.
type Result struct {
	Placed []Placed
	// TravelMM is the pen-up distance from home through all strokes to park.
	TravelMM float64
	// InputMM is the same for the strokes as they were given.
	InputMM float64
	// Steps is the work that was done, in the unit in which Progress counts it.
	Steps int
}

// Order returns a short tour from home through every stroke to the park
// position. The groups are drawn strictly one after the other. An open stroke
// may be drawn either way round, a closed one from any point on it. The tour
// never costs more than that of the strokes as given. The strokes are not
// changed.
//
// The error is a [fault.Error] that names the stroke, from 1, where one is
// empty, broken or not finite, and otherwise the effort, home or park position
// that is not valid.
func Order(groups [][]paths.Stroke, opt Options) (Result, error) {
	return seeded(groups, opt, 0)
}

// seeded is Order with other random numbers for each seed.
func seeded(groups [][]paths.Stroke, opt Options, seed uint64) (Result, error) {
	if opt.Effort < 0 || int(opt.Effort) >= len(effortNames) {
		return Result{}, fault.Bad("effort", "say quick, normal or thorough", "there is no effort %d", int(opt.Effort))
	}
	if !opt.Home.IsFinite() || !opt.Park.IsFinite() {
		return Result{}, fault.Bad("", "", "home %v or park %v is no place", opt.Home, opt.Park)
	}
	for g, strokes := range groups {
		for i, s := range strokes {
			if len(s) == 0 {
				return Result{}, fault.Bad("", "", "stroke %d of group %d is empty", i+1, g+1)
			}
			if err := s.Validate(); err != nil {
				return Result{}, fault.Bad("", "", "stroke %d of group %d: %v", i+1, g+1, err)
			}
		}
	}
	given := asGiven(groups)
	r := solver{Options: opt, seed: seed}
	found := r.inGroups(groups)
	if r.cost(found) > r.cost(given) {
		found = given
	}
	return Result{
		Placed:   found,
		TravelMM: travel(found, opt, paths.Point.Dist),
		InputMM:  travel(given, opt, paths.Point.Dist),
		Steps:    r.steps,
	}, nil
}

func asGiven(groups [][]paths.Stroke) []Placed {
	var out []Placed
	for g, strokes := range groups {
		for i, s := range strokes {
			out = append(out, Placed{Group: g, Index: i, Stroke: s})
		}
	}
	return out
}

// travel returns the cost of all hops from home to park.
func travel(placed []Placed, opt Options, cost Hop) float64 {
	at, sum := opt.Home, 0.
	for _, p := range placed {
		sum += cost(at, p.Stroke.Start())
		at = p.Stroke.End()
	}
	return sum + cost(at, opt.Park)
}

// Effort says how long [Order] looks for a shorter tour. It is counted in
// steps, not in seconds, so that the same input gives the same tour.
type Effort int

const (
	// Normal is the default: the time it takes is a small part of the drawing's.
	Normal Effort = iota
	// Quick is for looking at a result while a design is being changed.
	Quick
	// Thorough is for a pattern that is drawn many times.
	Thorough
)

var effortNames = [...]string{Normal: "normal", Quick: "quick", Thorough: "thorough"}

// ParseEffort reads "quick", "normal" or "thorough".
func ParseEffort(s string) (Effort, error) {
	for e, name := range effortNames {
		if s == name {
			return Effort(e), nil
		}
	}
	return 0, fault.Bad("effort", "say quick, normal or thorough", "%q is no effort", s)
}

// String returns the word that [ParseEffort] reads.
func (e Effort) String() string {
	if e < 0 || int(e) >= len(effortNames) {
		return "none"
	}
	return effortNames[e]
}

// budgets is the work of each effort: per group, of which a small one gets few for each of
// its strokes, and per stroke; and how many more strokes each of the first loopsCounted
// loops counts for, since there is more to decide. Beyond those, a drawing of loops is to
// take no longer than one of other strokes. What is done beside this work takes twice the
// time for loops, so quick effort counts each as half a stroke. A step of the work takes
// half as long again, so normal effort counts each beyond fewLoops as three fifths. Strokes
// beyond the first manyStrokes count half, but to thorough effort.
var budgets = [...]struct{ group, few, stroke, loop int }{
	Quick:    {600_000, 6_000, 3_000, 0},
	Normal:   {24_000_000, 120_000, 18_000, 2},
	Thorough: {60_000_000, 600_000, 250_000, 1},
}

const (
	loopsCounted = 500
	loopsLess    = 2 // strokes that each of as many loops again counts less for, at normal effort
	manyStrokes  = 3000
)

// budget returns the work planned for a group.
func budget(effort Effort, strokes []paths.Stroke) int {
	n := len(strokes)
	if n < 2 {
		return 0
	}
	b := budgets[effort]
	loops := loopsAmong(strokes)
	n += b.loop * min(loops, loopsCounted)
	more := max(0, loops-loopsCounted)
	switch effort {
	case Quick:
		n -= more / 2
	case Normal:
		n -= loopsLess*min(more, loopsCounted) + max(0, loops-fewLoops)*2/5
	}
	// A small group soon stops getting shorter.
	counted := n
	if effort != Thorough { // in a large one more work for a stroke gains less
		counted -= max(0, n-manyStrokes) / 2
	}
	return min(b.group, n*b.few) + counted*b.stroke
}

// loopsAmong returns how many of the strokes are closed.
func loopsAmong(strokes []paths.Stroke) int {
	loops := 0
	for _, s := range strokes {
		if s.IsClosed() {
			loops++
		}
	}
	return loops
}
