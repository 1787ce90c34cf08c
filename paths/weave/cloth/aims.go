package cloth

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// An Aim is a place at which a map should be right.
type Aim struct {
	Place weave.Place
	// Along is the direction of a line that passes there, in channels: what is off along it
	// does not count. Zero is that no line passes, and both ways count.
	Along weave.Place
	// Bound is the error that is small enough there, in channels, more than 0.
	Bound float64
}

// NewPlanFor is [NewPlan] for places at which different errors are small enough: the plan's
// criterion is the error at each as a share of its bound, and so is what it expects (the
// greatest and the likely; Usual is left out). Joints, where a fifth of a channel shows, are
// planned for together with places where a line need only be in its channel.
func NewPlanFor(g weave.Grid, prior Prior, aims []Aim, candidates []weave.Place) (Plan, error) {
	places := make([]weave.Place, len(aims))
	for i, a := range aims {
		places[i] = a.Place
	}
	p, err := NewPlan(g, prior, places, candidates)
	if err != nil {
		return Plan{}, err
	}
	p.aims = slices.Clone(aims)
	for _, a := range aims {
		x, y := 1., 1.
		if d := (paths.Point{X: a.Along.Across, Y: a.Along.Along}); d != (paths.Point{}) {
			d = d.Unit()
			x, y = d.Y*d.Y, d.X*d.X
		}
		p.weights[0] = append(p.weights[0], x/a.Bound/a.Bound)
		p.weights[1] = append(p.weights[1], y/a.Bound/a.Bound)
	}
	return p, nil
}

// off returns how far off v is, in channels, as a share of what is small enough.
func (a Aim) off(v paths.Point) float64 {
	if d := (paths.Point{X: a.Along.Across, Y: a.Along.Along}); d != (paths.Point{}) {
		return math.Abs(d.Unit().Cross(v)) / a.Bound
	}
	return v.Len() / a.Bound
}

// WithNoises returns the plan for candidates that are not all read equally well: the noise of
// each, in mm each way.
func (p Plan) WithNoises(noises []float64) Plan {
	p.noises = slices.Clone(noises)
	return p
}
