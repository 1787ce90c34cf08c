package cloth

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth/models"
)

// Survey collects marks on a stretched cloth, one by one: it holds those found
// so far, and says where on the machine other places are expected. Its methods
// do not change it. Make one with [NewSurvey].
type Survey struct {
	grid   weave.Grid
	turned bool // the cloth is laid on the machine turned by a quarter
	opt    FitOptions
	marks  []Mark
	fit    Registration // of the marks, however far the rug reaches beyond them
	fits   bool         // whether there is one
}

// NewSurvey returns the survey of a cloth whose nominal weave is g, with the
// marks found before, if any. The model is a name of [models.Names], "" for [models.Auto];
// the extent is the size of the rug in channels, zero where it is not known.
func NewSurvey(g weave.Grid, model string, extent weave.Place, marks []Mark) Survey {
	return NewSurveyOf(g, FitOptions{Model: model, Expect: g.Count(), Extent: extent}, marks)
}

// NewSurveyOf is [NewSurvey] of a part of a rug, or of any other fit.
func NewSurveyOf(g weave.Grid, opt FitOptions, marks []Mark) Survey {
	return Survey{grid: g, opt: opt}.with(append([]Mark(nil), marks...))
}

// LaidTurned returns the survey of a cloth that is laid on the machine turned by a
// quarter, anticlockwise (see [Turned]). It matters until the marks can be fitted,
// which say themselves how the cloth lies.
func (s Survey) LaidTurned() Survey {
	s.turned = true
	return s
}

// Step returns the movement on the machine that goes so many channels across and
// along, by the count alone.
func (s Survey) Step(by weave.Place) paths.Point {
	d := s.grid.At(by)
	if s.turned {
		d = paths.Point{X: -d.Y, Y: d.X}
	}
	return d
}

// with returns the survey with other marks.
func (s Survey) with(marks []Mark) Survey {
	s.marks = marks
	r, err := fit(marks, s.opt) // a survey is asked about places beyond the marks
	s.fit, s.fits = r, err == nil
	return s
}

// Marks returns the marks in the order of their numbers.
func (s Survey) Marks() []Mark { return append([]Mark(nil), s.marks...) }

// Grid returns the nominal weave.
func (s Survey) Grid() weave.Grid { return s.grid }

// samePlace is how near two marks are in channels to be the same mark.
const samePlace = 0.5

// With returns the survey with a mark more, and the number of the mark, from 1.
// A mark at the place of an earlier one takes its number: it was found again. A
// mark beyond any cloth, or one more than the limit, is a [fault.Error].
func (s Survey) With(m Mark) (Survey, int, error) {
	if err := m.check(""); err != nil {
		return s, 0, err
	}
	marks := s.Marks()
	n := len(marks)
	for i, o := range marks {
		if math.Hypot(m.Place.Across-o.Place.Across, m.Place.Along-o.Place.Along) < samePlace {
			n = i
		}
	}
	switch {
	case n < len(marks):
		marks[n] = m
	case n == maxMarks:
		return s, 0, fault.Bad("", "a grid of 9 to 25 marks serves any rug", "there are %d marks already", maxMarks)
	default:
		marks = append(marks, m)
	}
	return s.with(marks), n + 1, nil
}

// Without returns the survey less mark n, from 1. Where there is none of that
// number, it is a [fault.Error].
func (s Survey) Without(n int) (Survey, error) {
	if n < 1 || n > len(s.marks) {
		return s, fault.Bad("", "the marks are numbered from 1", "there is no mark %d", n)
	}
	return s.with(slices.Delete(s.Marks(), n-1, n)), nil
}

// Fit fits the marks, for the whole rug where its size is known. See [Fit].
func (s Survey) Fit() (Registration, error) {
	if s.fits && s.opt.Beyond {
		return s.fit, nil // however far the rug reaches
	}
	return Fit(s.marks, s.opt)
}

// guess returns the map that the marks suggest. Where they can be fitted, that
// is the fit, and from is 0. Otherwise the cloth is assumed to lie square to
// the machine, upright or turned, and to have its nominal count from the mark
// nearest to p, and from is the number of that mark. ok is false when there are no marks.
func (s Survey) guess(p weave.Place) (r Registration, from int, ok bool) {
	switch {
	case len(s.marks) == 0:
		return r, 0, false
	case s.fits:
		return s.fit, 0, true
	}
	i := nearestMark(s.marks, p)
	m := s.marks[i]
	at := m.At.Sub(s.Step(m.Place))
	if s.turned {
		return Turned(s.grid, at), i + 1, true
	}
	return Nominal(s.grid, at), i + 1, true
}

// Expect returns where on the machine a place of the weave is expected. from is
// the mark from which it was found by the count alone, or 0 where the fit of
// all marks gives it. It returns false while there are no marks.
func (s Survey) Expect(p weave.Place) (at paths.Point, from int, ok bool) {
	r, from, ok := s.guess(p)
	if !ok {
		return paths.Point{}, 0, false
	}
	return r.Point(p), from, true
}

// PlaceAt returns which place of the weave is expected at a point of the
// machine. It returns false while there are no marks, and where the fit has no
// such place.
func (s Survey) PlaceAt(at paths.Point) (weave.Place, bool) {
	if len(s.marks) == 0 {
		return weave.Place{}, false
	}
	near := s.marks[0]
	for _, m := range s.marks[1:] {
		if m.At.Dist(at) < near.At.Dist(at) {
			near = m
		}
	}
	off := at.Sub(near.At)
	if s.turned {
		off = paths.Point{X: off.Y, Y: -off.X}
	}
	d := s.grid.PlaceOf(off)
	p := place(near.Place.Across+d.Across, near.Place.Along+d.Along)
	r, _, _ := s.guess(p)
	return r.inverse(at, p, s.grid)
}

// inverse finds the place whose image is at, from a place near it, by Newton's
// method.
func (r Registration) inverse(at paths.Point, p weave.Place, g weave.Grid) (weave.Place, bool) {
	f := models.Fitted{At: r.at}
	for range 20 {
		off := at.Sub(r.at(p))
		if off.Len() < 1e-6 {
			return p, true
		}
		d := f.InChannels(p, off, g)
		p = place(p.Across+d.Across, p.Along+d.Along)
	}
	return p, false
}

// Next returns the place to take a mark at next; see [Survey.Propose].
func (s Survey) Next() (weave.Place, bool) {
	p, ok := s.Propose()
	return p.Place, ok
}

// Propose returns the mark to take next. The rug's corners come first, in a round,
// since each can be found from the one before; a corner has its mark when there is
// one within a tenth of the rug. After them comes the mark that lowers the error to
// expect most ([Plan] names the criterion). It returns false where that error is
// down to [EnoughError], and where the rug's size is not known. The proposal's
// errors are 0 while there is no fit to tell them.
func (s Survey) Propose() (Proposal, bool) {
	e, ok := s.Size()
	if !ok {
		return Proposal{}, false
	}
	for _, p := range s.places(weave.Place{}, place(e.Across, 0), e, place(0, e.Along)) {
		if !s.hasNear(p) {
			return Proposal{Place: p}, true
		}
	}
	if s.fits {
		r := s.fit.report
		return r.Better, r.ExpectedError > EnoughError && r.Better.Then > 0
	}
	mid := place(math.Round(e.Across/2), math.Round(e.Along/2))
	for _, p := range s.places(place(mid.Across, 0), place(e.Across, mid.Along), place(mid.Across, e.Along), place(0, mid.Along), mid) {
		if !s.hasNear(p) {
			return Proposal{Place: p}, true
		}
	}
	return Proposal{}, false
}

// places counts places of the rug as the marks are counted.
func (s Survey) places(ofRug ...weave.Place) []weave.Place {
	from := place(math.Round(s.opt.From.Across), math.Round(s.opt.From.Along))
	for i, p := range ofRug {
		ofRug[i] = place(p.Across+from.Across, p.Along+from.Along)
	}
	return ofRug
}

// Size returns the rug's size in whole channels, and false where it is not known.
func (s Survey) Size() (weave.Place, bool) {
	e := place(math.Round(s.opt.Extent.Across), math.Round(s.opt.Extent.Along))
	return e, e.Across >= weave.LeastChannels && e.Along >= weave.LeastChannels
}

func (s Survey) hasNear(p weave.Place) bool {
	for _, m := range s.marks {
		if math.Abs(m.Place.Across-p.Across) <= s.opt.Extent.Across/10 && math.Abs(m.Place.Along-p.Along) <= s.opt.Extent.Along/10 {
			return true
		}
	}
	return false
}
