package panels

import (
	"context"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Stroke is a stroke of the drawing, in mm of the frame drawn.
type Stroke struct {
	paths.Stroke
	// Word is the number of the word that it belongs to, over 0: strokes of one number are
	// drawn in one load and are never cut. 0 is none.
	Word int
	// Name is what a person calls what it belongs to, such as "border"; it is used in the
	// names of points. "" is none.
	Name string
}

// Options say how a drawing is divided.
type Options struct {
	Grid weave.Grid
	// Width and Height are of a window, in mm: how much of the rug a load is sure to reach
	// however the cloth comes to lie.
	Width, Height float64
	// Lap is how far the two parts of a cut stroke go past each other, in mm.
	Lap float64
}

// Plan is a drawing divided into loads.
type Plan struct {
	// Loads are in the order in which they are drawn. Each after the first overlaps what is
	// drawn before it, where the drawing hangs together.
	Loads []Load
	// Joints are in the order of the strokes, and along each.
	Joints []Joint
	// Cuts is how many strokes are cut.
	Cuts int
	// Exact reports that fewer loads cannot hold the drawing.
	Exact bool

	strokes []Stroke
	opt     Options
}

// Load is one laying of the cloth on the machine.
type Load struct {
	// Window is the part of the rug that the machine reaches, in mm. It holds all parts.
	Window paths.Rect
	Parts  []Part // in the order of the strokes
}

// Part is what a load draws of a stroke.
type Part struct {
	Stroke int // its number
	Piece  paths.Stroke
	// From and To are where the part begins and ends along the stroke, in mm, half a lap at
	// each cut included. Of a closed stroke To may exceed its length: the part goes on
	// through where the stroke begins.
	From, To float64
}

// Joint is where two parts of a stroke meet, in the middle of their lap.
type Joint struct {
	Stroke int
	At     paths.Point // mm
	Along  paths.Point // the direction of the stroke there, of length 1
	Loads  [2]int      // that draw the parts, the earlier one first
	// OnWeave reports that the stroke runs in a channel there.
	OnWeave bool
}

// Divide divides a drawing into loads: as few as can be, and of those ways one that cuts
// the fewest strokes. No word is cut. A stroke is cut at its corners and at crossings where
// it can be, else where it runs straight in a channel, else straight, else on a curve.
//
// The error is that of ctx, or a [fault.Error]: of kind [fault.Fit] for a word that is
// larger than a window, and for a stroke that cannot be cut; of kind [fault.Input] for
// sizes that are none.
func Divide(ctx context.Context, strokes []Stroke, opt Options) (Plan, error) {
	if err := opt.check(); err != nil {
		return Plan{}, err
	}
	p := Plan{strokes: strokes, opt: opt}
	units, err := unitsOf(strokes, opt)
	if err != nil || len(units) == 0 {
		return p, err
	}
	windows, exact, err := windowsFor(ctx, units, strokes, opt)
	if err != nil {
		return Plan{}, err
	}
	p.Exact = exact
	return p, p.assign(units, windows)
}

func (o Options) check() error {
	if !o.Grid.Valid() {
		return fault.Bad("", "give the count of the backing", "the weave has no count")
	}
	for _, v := range []float64{o.Width, o.Height, o.Lap} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return fault.Bad("", "give lengths of 0 and more", "a length of %g mm is none", v)
		}
	}
	if least := 2*o.Lap + leastStep; o.Width < least || o.Height < least {
		return fault.TooBig("", "choose a larger machine or a shorter [lap]", "a load that reaches %.1f x %.1f mm of the rug is too small for a lap of %.1f mm", o.Width, o.Height, o.Lap)
	}
	return nil
}

// leastStep is how far the windows of two loads stand apart at least, in mm.
const leastStep = 1
