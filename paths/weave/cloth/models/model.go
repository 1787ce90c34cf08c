package models

import (
	"errors"
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// Fitted is a model with its numbers found.
type Fitted struct {
	Model string // its name
	At    func(weave.Place) paths.Point
	// Residual is how far each pair is off its image, in mm. Deleted is how far it
	// would be off had it not been used, for a fit with pairs to spare.
	Residual, Deleted []paths.Point
	Spare             bool // there are more pairs than the model needs
}

// LeaveOneOut returns the root mean square of the deleted residuals, in mm, and
// +Inf where there are no pairs to spare.
func (f Fitted) LeaveOneOut() float64 {
	if !f.Spare {
		return math.Inf(1)
	}
	return RMS(f.Deleted)
}

// RMS returns the root mean square of lengths.
func RMS(v []paths.Point) float64 {
	var sum float64
	for _, p := range v {
		sum += p.Dot(p)
	}
	return math.Sqrt(sum / float64(len(v)))
}

var errSingular = errors.New("the marks do not determine the map")

// Fit fits the named model to pairs, at least [Least] of them. Loose says by how much
// each is loose, in mm; nil is by nothing. It returns an error where the pairs do not
// determine the map.
func Fit(model string, pairs []Pair, loose []float64, g weave.Grid) (Fitted, error) {
	f := newFrame(pairs, g)
	switch model {
	case Similarity:
		return fitSimilarity(pairs, weights(loose, len(pairs)), f)
	case Affine:
		return fitTerms(model, pairs, weights(loose, len(pairs)), f, affineTerms)
	case Bilinear:
		return fitTerms(model, pairs, weights(loose, len(pairs)), f, bilinearTerms)
	case Biquadratic:
		return fitTerms(model, pairs, weights(loose, len(pairs)), f, quadraticTerms)
	case Cubic:
		return fitTerms(model, pairs, weights(loose, len(pairs)), f, cubicTerms)
	}
	return fitThinPlate(pairs, f)
}

// Jacobian returns how the image of p moves in mm for a channel each way.
func (f Fitted) Jacobian(p weave.Place) (across, along paths.Point) {
	const h = 1e-3 // channels
	d := func(dx, dy float64) paths.Point {
		q := f.At(weave.Place{Across: p.Across + dx, Along: p.Along + dy})
		return q.Sub(f.At(weave.Place{Across: p.Across - dx, Along: p.Along - dy})).Mul(1 / (2 * h))
	}
	return d(h, 0), d(0, h)
}

// InChannels returns a small movement on the machine as one on the weave at p.
// Where the map has no inverse it uses g.
func (f Fitted) InChannels(p weave.Place, d paths.Point, g weave.Grid) weave.Place {
	a, b := f.Jacobian(p)
	det := a.Cross(b)
	if math.Abs(det) < 1e-6*g.Across*g.Along {
		return g.PlaceOf(d)
	}
	return weave.Place{Across: d.Cross(b) / det, Along: a.Cross(d) / det}
}

// CountAt returns the channels per mm at p, along the weave's own directions.
func (f Fitted) CountAt(p weave.Place) paths.Count {
	a, b := f.Jacobian(p)
	return paths.Count{Across: 1 / a.Len(), Along: 1 / b.Len()}
}
