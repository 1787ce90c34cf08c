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

// What is small enough, in channels. EnoughError is where lines go on from another load. It
// bounds the worst joint of a load in 95 of 100 cloths, so it is about twice the standard
// deviation there: 95 of 100 of all joints are within 0.15, and 0.3, at which a joint shows,
// is three and a half standard deviations off. EnoughOver is elsewhere: a line that is half a
// channel off is in its channel still. MostOver is what is refused elsewhere: a line that far
// off may be in the channel beside the next one.
const (
	EnoughError = 0.17
	EnoughOver  = 0.5
	MostOver    = 1.5
)

// leastPoints are the fewest that are enough: fewer than eight cannot name a wrong one and
// show how the cloth bends (common practice).
const leastPoints = 8

// A Load says what is to be found before a load is drawn.
type Load struct {
	Points []Point // in their order
	// At returns where a place should be on the machine, in mm, before any point is found.
	At func(weave.Place) paths.Point
	// Meets are where the load's lines meet what is drawn already; none in the first load.
	Meets []cloth.Passage
	// Over are places all over what the load draws; none asks nothing of the error there.
	Over []weave.Place
}

// Over returns places evenly over a rectangle of the weave, its corners among them.
func Over(lo, hi weave.Place) []weave.Place {
	const steps = 4
	var out []weave.Place
	for k := range steps + 1 {
		for i := range steps + 1 {
			u, v := float64(i)/steps, float64(k)/steps
			out = append(out, weave.Place{Across: lo.Across + u*(hi.Across-lo.Across), Along: lo.Along + v*(hi.Along-lo.Along)})
		}
	}
	return out
}

// ErrorOver returns the error to expect at the worst of the places all over a load, in
// channels; 0 where there are none or nothing is known.
func (l Load) ErrorOver(reg cloth.Registration) float64 {
	x, _ := reg.Expect(l.Over)
	return x.Greatest
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

// onlyOver reports whether the load meets no other, and is right all over or not at all.
func (l Load) onlyOver() bool { return len(l.Meets) == 0 && len(l.Over) > 0 }

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
	if x := ErrorAt(reg, l.Meets); x > MostError && !l.onlyOver() {
		return fault.Bad("", "find more of its points, or find them again with care", "with these marks an error of %.2f channels is to be expected%s, and over %.1f is refused", x, l.Where(), MostError)
	}
	if x := l.ErrorOver(reg); x > MostOver {
		return fault.Bad("", "find more of its points", "far from these marks lines may lie %.1f channels from where they belong, and over %.1f is refused", x, MostOver)
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
	// Over is the error to expect at the worst place all over the load, in channels.
	Over   float64
	enough bool
}

// Enough reports whether the error to expect is so small, at the joints and all over the
// load, that more marks are not wanted.
func (p Progress) Enough() bool { return p.enough }

// Progress returns how far the search has come with the marks that are found.
func (l Load) Progress(found cloth.Survey) Progress {
	out := Progress{Found: make([]bool, len(l.Points)), Next: -1}
	points := 0
	for i, p := range l.Points {
		for _, m := range found.Marks() {
			out.Found[i] = out.Found[i] || Same(m.Place, p.Place)
		}
		switch {
		case out.Found[i]:
			points++
		case out.Next < 0:
			out.Next = i
		}
	}
	reg, err := found.Fit()
	if out.Unfit = err; err == nil {
		out.Fits, out.Expected, out.Over = true, ErrorAt(reg, l.Meets), l.ErrorOver(reg)
		small := EnoughError
		if l.onlyOver() {
			out.Expected, small = out.Over, EnoughOver
		}
		out.enough = points >= min(leastPoints, len(l.Points)) && out.Expected <= small && out.Over <= EnoughOver
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
	if len(l.Meets) > 0 && p.Over > EnoughOver {
		text += fmt.Sprintf(", and up to %.1f elsewhere", p.Over)
	}
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
