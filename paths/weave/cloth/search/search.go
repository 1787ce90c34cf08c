// Package search is the search for the points of a load: cloth that is drawn in several
// layings is found again by places that are known on it. It says which point comes next
// and whether what is found will do; it moves no machine.
package search

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// MostError is the error to expect where lines go on from another load, in channels, over
// which a joint shows: marks that make no better sure are refused.
const MostError = 0.3

// A Load says what is to be found before a load is drawn.
type Load struct {
	Points []Point // in their order
	// At returns where a place should be on the machine, in mm, before any point is found.
	At func(weave.Place) paths.Point
	// Meets are where the load's lines meet what is drawn already; none in the first load.
	Meets []cloth.Passage
}

// A Point is a place of the cloth and what a person looks for.
type Point struct {
	Name  string
	Place weave.Place
}

// near is within how many channels two places are the same.
const near = 0.5

// Same reports whether two places are so close that they are the same point.
func Same(a, b weave.Place) bool { return math.Hypot(a.Across-b.Across, a.Along-b.Along) < near }

// ErrorAt returns the error to expect of a registration where lines go on from another
// load, in channels; where there are no such places, or nothing is known of them, it is the
// error anywhere on the load, and 0 for a registration that was not fitted to marks.
func ErrorAt(reg cloth.Registration, meets []cloth.Passage) float64 {
	if x, ok := reg.ExpectAside(meets); ok {
		return x.Greatest
	}
	if r := reg.Report(); r != nil {
		return r.ExpectedError
	}
	return 0
}

// Where says where the error to expect is meant: " at the joints", or "" for anywhere on
// the load.
func (l Load) Where() string {
	if len(l.Meets) == 0 {
		return ""
	}
	return " at the joints"
}

// Expect returns where a place is expected on the machine, in mm, and from which mark it was
// counted (see [cloth.Survey.Expect]). Before there is a mark it is where the place should
// be, and from is -1.
func (l Load) Expect(found cloth.Survey, p weave.Place) (at paths.Point, from int) {
	if at, from, ok := found.Expect(p); ok {
		return at, from
	}
	return l.At(p), -1
}

// Refused returns the fault of marks that do not make the joints sure enough: nil where
// they do.
func (l Load) Refused(reg cloth.Registration) error {
	if x := ErrorAt(reg, l.Meets); x > MostError {
		return fault.Bad("", "find more of its points, or find them again with care", "with these marks an error of %.2f channels is to be expected%s, and over %.1f is refused", x, l.Where(), MostError)
	}
	return nil
}

// Progress is how far the search has come.
type Progress struct {
	Found []bool // of each point
	Next  int    // the point to find next, from 0; -1 where all are found
	// Unfit is why the marks cannot be fitted. Where it is nil, Fits is true and Expected is
	// the error to expect, in channels; at the joints, where there are some.
	Unfit    error
	Fits     bool
	Expected float64
}

// Enough reports whether the error to expect is so small that more marks are not wanted.
func (p Progress) Enough() bool { return p.Fits && p.Expected <= cloth.EnoughError }

// Progress returns how far the search has come with the marks that are found.
func (l Load) Progress(found cloth.Survey) Progress {
	out := Progress{Found: make([]bool, len(l.Points)), Next: -1}
	for i, p := range l.Points {
		for _, m := range found.Marks() {
			out.Found[i] = out.Found[i] || Same(m.Place, p.Place)
		}
		if !out.Found[i] && out.Next < 0 {
			out.Next = i
		}
	}
	reg, err := found.Fit()
	if out.Unfit = err; err == nil {
		out.Fits, out.Expected = true, ErrorAt(reg, l.Meets)
	}
	return out
}

// Says puts progress into words for a person: the error to expect, and what comes next; ""
// while the marks cannot be fitted.
func (l Load) Says(p Progress) string {
	if !p.Fits {
		return ""
	}
	text := fmt.Sprintf("error to expect%s: %.2f channels, or less, in 95 of 100 cloths like this", l.Where(), p.Expected)
	switch {
	case p.Enough():
		return text + ": that is enough"
	case len(l.Points) == 0:
		return text
	case p.Next < 0:
		return text + "; all points are found"
	}
	return text + fmt.Sprintf("; next: point %d, %s", p.Next+1, l.Points[p.Next].Name)
}
