package order

import (
	"math"

	"weftplot/paths"
)

// Hop returns the cost of travelling pen up from one point to another. It must
// be symmetric, finite and not negative, and grow with the distance.
type Hop func(from, to paths.Point) float64

// Options say where a tour starts and ends and what it is to keep small. The
// zero value orders from the origin back to the origin with normal effort.
type Options struct {
	// Home is where the pen stands before the first stroke, Park where it goes
	// after the last.
	Home, Park paths.Point
	Effort     Effort
	// Cost is what is made small, summed over all hops; nil means distance.
	Cost Hop
	// Progress, when set, is told now and then how many of the planned steps
	// are done and the least cost found so far, in the unit of Cost.
	Progress func(done, total int, best float64)
	// Stop, when set, is asked now and then whether to end the search and keep
	// the best tour found so far.
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
	// Steps is how many steps the search took.
	Steps int
}

// Order returns a short tour from home through every stroke to the park
// position. The groups are drawn strictly one after the other. An open stroke
// may be drawn either way round, a closed one from any point on it. The tour
// never costs more than that of the strokes as given.
//
// Strokes that are empty, not chained or not finite are an error.
func Order(groups [][]paths.Stroke, opt Options) (Result, error) {
	for g, strokes := range groups {
		for i, s := range strokes {
			if len(s) == 0 {
				return Result{}, paths.Bad("", "", "stroke %d of group %d is empty", i+1, g+1)
			}
			if err := s.Validate(); err != nil {
				return Result{}, paths.Bad("", "", "stroke %d of group %d: %v", i+1, g+1, err)
			}
		}
	}
	cost := opt.Cost
	if cost == nil {
		cost = paths.Point.Dist
	}
	given := asGiven(groups)
	found := nearest(groups, opt.Home, cost)
	if tourCost(found, opt, cost) > tourCost(given, opt, cost) {
		found = given
	}
	return Result{
		Placed:   found,
		TravelMM: tourCost(found, opt, paths.Point.Dist),
		InputMM:  tourCost(given, opt, paths.Point.Dist),
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

func tourCost(placed []Placed, opt Options, cost Hop) float64 {
	at, sum := opt.Home, 0.
	for _, p := range placed {
		sum += cost(at, p.Stroke.Start())
		at = p.Stroke.End()
	}
	return sum + cost(at, opt.Park)
}

// nearest always goes on to the nearest end.
func nearest(groups [][]paths.Stroke, at paths.Point, cost Hop) []Placed {
	var out []Placed
	for g, strokes := range groups {
		left := make([]int, len(strokes))
		for i := range left {
			left[i] = i
		}
		for len(left) > 0 {
			best, least, piece, back := 0, math.Inf(1), 0, false
			for k, i := range left {
				s := strokes[i]
				if d := cost(at, s.Start()); d < least {
					best, least, piece, back = k, d, 0, false
				}
				if s.IsClosed() {
					for j := 1; j < len(s); j++ {
						if d := cost(at, s[j].Start()); d < least {
							best, least, piece, back = k, d, j, false
						}
					}
				} else if d := cost(at, s.End()); d < least {
					best, least, piece, back = k, d, 0, true
				}
			}
			i := left[best]
			left = append(left[:best], left[best+1:]...)
			p := Placed{Group: g, Index: i, Stroke: strokes[i], Reversed: back}
			if back {
				p.Stroke = p.Stroke.Reverse()
			} else if piece > 0 {
				p.Stroke = p.Stroke.StartingAt(piece, 0)
			}
			out = append(out, p)
			at = p.Stroke.End()
		}
	}
	return out
}
