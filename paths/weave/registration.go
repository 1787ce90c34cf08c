package weave

import (
	"weftplot/paths"
)

// Registration is the map from the weave to the machine: where on the plotter
// each place of this piece of backing lies.
type Registration struct {
	model string
	at    func(Place) paths.Point
	// affine is the map from the drawn frame of grid, when at is an affine one.
	affine   paths.Affine
	isAffine bool
	report   *Report
}

// Report says how a registration fits its marks.
type Report struct{ Model string }

// Nominal returns the registration of a weave that is all as its count says and
// square to the machine, with the rug's lower left corner as drawn at the given
// point of the machine.
func Nominal(g Grid, at paths.Point) Registration {
	return Registration{
		model:    "nominal",
		at:       func(p Place) paths.Point { return g.At(p).Add(at) },
		affine:   paths.Affine{A: g.Across, D: g.Along, E: at.X, F: at.Y},
		isAffine: true,
	}
}

// Model returns the name of the map: "nominal" or a model's.
func (r Registration) Model() string { return r.model }

// Point returns where a place of the weave lies on the machine, in mm.
func (r Registration) Point(p Place) paths.Point { return r.at(p) }

// Stroke returns the image of a stroke of the drawn frame, whose grid is g, on
// the machine, within tol mm. A line in a channel follows the channel as
// measured. Where the map is affine, lines stay lines, cubics stay cubics, and
// arcs stay arcs if it keeps shapes; ends that coincide stay coinciding exactly.
func (r Registration) Stroke(s paths.Stroke, g Grid, tol float64) paths.Stroke {
	if r.isAffine {
		m := paths.Scale(1/g.Across, 1/g.Along).Then(r.affine)
		return s.Transform(m)
	}
	return paths.Warp(s, func(p paths.Point) paths.Point { return r.at(g.PlaceOf(p)) }, tol)
}
