package cloth

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/warp"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// Registration is the map from the weave to the machine: where on the plotter
// each place of this piece of backing lies. Make one with [Nominal] or [Fit].
type Registration struct {
	at func(weave.Place) paths.Point
	// affine is the same map as at, from channels to mm, where at is affine.
	affine   paths.Affine
	isAffine bool
	report   *Report
	fitted   models.Fitted
	errors   *errorField // nil where there are no marks
	from     weave.Place // that fitted and errors are counted from
}

// Nominal returns the registration of a weave that has exactly its nominal
// count and lies square to the machine, with the rug's lower left corner as
// drawn at the given point of the machine.
func Nominal(g weave.Grid, at paths.Point) Registration {
	return affineRegistration(paths.Affine{A: g.Across, D: g.Along, E: at.X, F: at.Y})
}

// Turned is [Nominal] of a cloth that lies turned by a quarter, anticlockwise as one
// looks at the machine: what is drawn upwards runs to the left. The point is where
// the rug's lower left corner as drawn comes to lie, which is then the lower right
// one on the machine.
func Turned(g weave.Grid, at paths.Point) Registration {
	return affineRegistration(paths.Affine{B: g.Across, C: -g.Along, E: at.X, F: at.Y})
}

func affineRegistration(m paths.Affine) Registration {
	return Registration{
		at:       func(p weave.Place) paths.Point { return m.Apply(paths.Point{X: p.Across, Y: p.Along}) },
		affine:   m,
		isAffine: true,
	}
}

// register makes the registration of a fit.
func register(f models.Fitted, e *errorField, marks []Mark, opt FitOptions) Registration {
	r := Registration{at: f.At}
	if f.Model == models.Affine || f.Model == models.Similarity {
		o := f.At(weave.Place{})
		a, b := f.At(place(1, 0)).Sub(o), f.At(place(0, 1)).Sub(o)
		r = affineRegistration(paths.Affine{A: a.X, B: a.Y, C: b.X, D: b.Y, E: o.X, F: o.Y})
	}
	r.fitted, r.errors = f, e
	r.report = report(f, e, marks, opt)
	return r
}

// countedFrom returns the same map with places counted so that its corner is at from.
func (r Registration) countedFrom(from weave.Place) Registration {
	if r.report == nil {
		return r // there is no fit
	}
	less := func(p weave.Place) weave.Place { return place(p.Across-from.Across, p.Along-from.Along) }
	more := func(p weave.Place) weave.Place { return place(p.Across+from.Across, p.Along+from.Along) }
	at, report := r.at, *r.report
	r.at = func(p weave.Place) paths.Point { return at(less(p)) }
	r.affine = paths.Translate(paths.Point{X: -from.Across, Y: -from.Along}).Then(r.affine)
	r.from = more(r.from)
	report.Marks = slices.Clone(report.Marks)
	for i := range report.Marks {
		report.Marks[i].Place = more(report.Marks[i].Place)
	}
	if at := more(report.Better.Place); report.Better.Then > 0 {
		report.Better.Place = place(math.Round(at.Across), math.Round(at.Along)) // it is a crossing of channels
	}
	r.report = &report
	return r
}

// Expect returns how far the map may be off the cloth at places. It returns false
// for a nominal registration, of which nothing is known, and for no places.
func (r Registration) Expect(places []weave.Place) (x Expectation, ok bool) {
	if r.errors == nil || len(places) == 0 {
		return x, false
	}
	places = slices.Clone(places)
	for i, p := range places {
		places[i] = place(p.Across-r.from.Across, p.Along-r.from.Along)
	}
	return r.errors.expect(places), true
}

// A Passage is a line at a place of the weave, which goes on beyond it.
type Passage struct {
	Place weave.Place
	Along weave.Place // its direction there, in channels, of any length
}

// ExpectAside returns how far the map may be off the cloth at places, across the lines that
// pass there: what is off along a line does not show on it. It returns false as
// [Registration.Expect] does.
func (r Registration) ExpectAside(lines []Passage) (x Expectation, ok bool) {
	if r.errors == nil || len(lines) == 0 {
		return x, false
	}
	lines = slices.Clone(lines)
	for i, l := range lines {
		lines[i].Place = place(l.Place.Across-r.from.Across, l.Place.Along-r.from.Along)
	}
	return r.errors.expectAside(lines), true
}

// Report returns how the marks fit, nil for a nominal registration.
func (r Registration) Report() *Report { return r.report }

// Point returns where a place of the weave lies on the machine, in mm.
func (r Registration) Point(p weave.Place) paths.Point { return r.at(p) }

// Stroke returns the image of a stroke of the drawn frame, whose grid is g, on
// the machine, within tol mm. A line in a channel follows the channel as
// measured. Where the map is affine, lines stay lines, cubics stay cubics, and
// arcs stay arcs if it keeps shapes; ends that coincide stay coinciding exactly.
func (r Registration) Stroke(s paths.Stroke, g weave.Grid, tol float64) paths.Stroke {
	if r.isAffine {
		return s.Transform(r.drawnToMachine(g))
	}
	return warp.Stroke(s, func(p paths.Point) paths.Point { return r.at(g.PlaceOf(p)) }, tol)
}

// drawnToMachine returns the affine map of the drawn frame. One that keeps
// shapes, except for rounding, is made to keep them exactly.
func (r Registration) drawnToMachine(g weave.Grid) paths.Affine {
	m := paths.Scale(1/g.Across, 1/g.Along).Then(r.affine)
	size := math.Hypot(m.A, m.B)
	if m.Det() > 0 && math.Hypot(m.A-m.D, m.B+m.C) <= 1e-9*size {
		m.A, m.B = (m.A+m.D)/2, (m.B-m.C)/2
		m.D, m.C = m.A, -m.B
	}
	return m
}
