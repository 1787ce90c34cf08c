package cloth

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// ErrorExpected is the code of the warning that the error to expect is over
// [MostError].
const ErrorExpected = "error-expected"

const (
	// MostError is the error to expect, in channels, over which a fit is warned of.
	MostError = 0.3
	// EnoughError is the error to expect, in channels, at which no more marks are
	// proposed.
	EnoughError = 0.15
	// unseen is the share of its usual size to which the marks must bring down what
	// is not known of a bow, for them to show it.
	unseen = 0.5
)

// warnError warns of what the marks cannot tell, of a mark that may be wrong, and
// of an error that is not small.
func (r *Report) warnError(e *errorField, marks []Mark, opt FitOptions) {
	centre := e.at(e.belief.sheet.at(0, 0))
	add := func(code string, at weave.Place, format string, args ...any) {
		r.Warnings = append(r.Warnings, weave.Warning{Code: code, Message: fmt.Sprintf(format, args...), At: e.at(at)})
	}
	if way, edges := e.belief.blind(); way != "" {
		r.Warnings = append(r.Warnings, weave.Warning{Code: "bow-not-shown", At: centre,
			Message: fmt.Sprintf("these marks cannot show a bow%s; take the middles of %s too", way, edges)})
	}
	if bad, odds, _, s := e.belief.suspect(); odds > doubtful {
		looks := "far off"
		if s.known {
			looks = "miscounted"
		}
		add("mark-doubted", marks[bad].Place, "mark %d may be %s, by what the other marks say; steer to it again", bad+1, looks)
	}
	if unchecked(e.belief) {
		r.Warnings = append(r.Warnings, weave.Warning{Code: "marks-not-checked", At: centre,
			Message: fmt.Sprintf("with %d marks there is none to check the others by; a miscount would not show", len(marks))})
	}
	if r.ExpectedError > MostError {
		text := fmt.Sprintf("the lines may lie %.2f channels from where they belong somewhere on %s: 95 of 100 cloths like this stay within that", r.ExpectedError, opt.rug())
		if r.Better.Then > 0 {
			at := opt.asCounted(r.Better.Place)
			text += fmt.Sprintf("; a mark at channel %.0f across, %.0f along would bring it to about %.2f", at.Across, at.Along, r.Better.Then)
		}
		r.Warnings = append(r.Warnings, weave.Warning{Code: ErrorExpected, Message: text, At: centre})
	}
}

// better returns the mark that lowers the error over places most. While the marks
// cannot show a bow, it is one at the middle of an edge, which does.
func (e *errorField) better(over []weave.Place, marks []Mark, now float64, opt FitOptions) Proposal {
	candidates := e.belief.sheet.lattice(8)
	if way, _ := e.belief.blind(); way != "" {
		candidates = e.belief.sheet.middles()
	}
	for i, p := range candidates {
		candidates[i] = opt.onCrossing(p)
	}
	if within := opt.withinOver(candidates); len(within) > 0 {
		candidates = within
	}
	i, factor := e.belief.next(over, candidates, marks)
	if i < 0 {
		return Proposal{}
	}
	return Proposal{candidates[i], now, now * factor}
}

// middles returns the middles of the edges.
func (s sheet) middles() []weave.Place {
	return []weave.Place{s.at(0, -1), s.at(1, 0), s.at(0, 1), s.at(-1, 0)}
}

// withinOver returns those of the places that lie among the places over which the error is
// told, which is all of them where that is the whole rug.
func (opt FitOptions) withinOver(places []weave.Place) (out []weave.Place) {
	if len(opt.Over) == 0 {
		return places
	}
	box := paths.EmptyRect()
	for _, p := range opt.Over {
		box = box.Include(paths.Point{X: p.Across, Y: p.Along})
	}
	for _, p := range places {
		if box.Grow(1).Contains(paths.Point{X: p.Across, Y: p.Along}) {
			out = append(out, p)
		}
	}
	return out
}

// rug is what a fit is for, in words: the rug, or the part of it that a load draws.
func (opt FitOptions) rug() string {
	if len(opt.Over) > 0 {
		return "this part of the rug"
	}
	return "the rug"
}

// blind reports which threads' bow the marks cannot show, in words, and the edges
// at whose middles marks would show it; "" is none. It depends on where the marks
// are, and not on what they tell.
func (b *belief) blind() (way, edges string) {
	k := kind{bow: b.prior.Bow / 3, stretch: b.prior.Bow / 3, finer: 0.25, variation: variation{0.3, 0.07}}
	noise := 0.3
	if b.prior.Noise > 0 {
		noise = b.prior.Noise
	}
	root := precision(b.gram, b.prior.sizes(k, b.sheet, 0, true), noise)
	var hidden [2]bool
	for n, s := range shapes {
		if s == (shape{2, 0}) || s == (shape{0, 2}) {
			e := mat.NewVecDense(len(shapes), nil)
			e.SetVec(n, 1)
			var x mat.VecDense
			if x.SolveVec(root.T(), e) != nil {
				continue
			}
			hidden[s.j/2] = mat.Norm(&x, 2) > unseen
		}
	}
	switch {
	case hidden[0] && hidden[1]:
		return " at all", "the edges"
	case hidden[0]:
		return " of the threads across", "the bottom and the top edge"
	case hidden[1]:
		return " of the threads along", "the left and the right edge"
	}
	return "", ""
}

// unchecked reports whether no mark's miscount by a channel would show: where
// each should be is not known to half a channel by the others.
func unchecked(b *belief) bool {
	for i := range b.read[0] {
		for way := range 2 {
			v := 0.
			for s, p := range b.right {
				for k, q := range b.kindsGiven(s, way, noWrong) {
					v += p * q * b.given[way][s][k].variance[i]
				}
			}
			if math.Sqrt(v) < b.pitch(way)/2 {
				return false
			}
		}
	}
	return true
}
