package weave

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Grid is the weave by its nominal count, before a real piece of cloth is
// measured: the pitch, in mm between neighbouring channels each way, in the
// drawn frame. Channel 0 of either axis runs through that frame's origin, the
// rug's lower left corner as drawn.
type Grid struct {
	Across float64 // between channels that run along the cloth, along x
	Along  float64 // between channels that run across it, along y
}

// NewGrid returns the grid of a count. A count that is zero, negative, not a
// number or beyond 1 to 100 channels an inch is refused with a [fault.Error].
func NewGrid(c paths.Count) (Grid, error) {
	for _, v := range []float64{c.Across, c.Along} {
		if perInch := v * paths.MMPerInch; !(perInch >= 1-1e-9 && perInch <= 100+1e-9) {
			return Grid{}, fault.Bad("", `count the rows of holes each way, such as "12x13/in"`,
				"a count of %.4g channels an inch is no cloth's; cloth has 1 to 100", perInch)
		}
	}
	across, along := c.Pitch()
	return Grid{across, along}, nil
}

// Count returns the channels per mm each way.
func (g Grid) Count() paths.Count { return paths.Count{Across: 1 / g.Across, Along: 1 / g.Along} }

// Place is a position on the weave in channels from the rug's lower left corner
// as drawn: a whole number is the middle of a channel, where the holes lie.
type Place struct{ Across, Along float64 }

// At returns where p lies in the drawn frame.
func (g Grid) At(p Place) paths.Point {
	return paths.Point{X: p.Across * g.Across, Y: p.Along * g.Along}
}

// PlaceOf returns the place of a point of the drawn frame.
func (g Grid) PlaceOf(p paths.Point) Place { return Place{p.X / g.Across, p.Y / g.Along} }

// Axis says which coordinate of a line is fixed.
type Axis int

const (
	// Across is a line that runs along the cloth, at one x.
	Across Axis = iota
	// Along is a line that runs across the cloth, at one y.
	Along
)

// String returns "across" or "along".
func (a Axis) String() string {
	if a == Across {
		return "across"
	}
	return "along"
}

// Pitch returns the distance in mm between the channels that a line of axis a can
// lie in.
func (g Grid) Pitch(a Axis) float64 {
	if a == Across {
		return g.Across
	}
	return g.Along
}

// Step returns the distance in mm between the channels that a line of axis a
// crosses.
func (g Grid) Step(a Axis) float64 { return g.Pitch(1 - a) }

// Split returns the coordinate of p that is fixed on a line of axis a, and the
// one that runs along it.
func (a Axis) Split(p paths.Point) (fixed, runs float64) {
	if a == Across {
		return p.X, p.Y
	}
	return p.Y, p.X
}

// Point is the inverse of [Axis.Split].
func (a Axis) Point(fixed, runs float64) paths.Point {
	if a == Across {
		return paths.Point{X: fixed, Y: runs}
	}
	return paths.Point{X: runs, Y: fixed}
}

// Valid reports whether both pitches are over zero and finite, as [NewGrid] makes
// them. The zero value is not.
func (g Grid) Valid() bool {
	return g.Across > 0 && g.Along > 0 && !math.IsInf(g.Across, 0) && !math.IsInf(g.Along, 0)
}
