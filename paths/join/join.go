package join

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// Options say which ends meet. The zero value joins only ends that
// coincide exactly.
type Options struct {
	// Tolerance is the distance in mm within which ends meet and lines lie on
	// one another.
	Tolerance float64
	// KeepDoubles leaves lines that lie on one another as they are, to be drawn
	// as often as they are given.
	KeepDoubles bool
	// InkPerLift is the length in mm that the pen draws in the time that lifting it and
	// setting it down again takes. Lines that are drawn more than once are drawn once only
	// where that saves as much for each stroke more. It counts as [InkPerLift] at least.
	InkPerLift float64
	// Through makes a node of every place where lines cross, so that the pen may turn off
	// there where that saves a lift. Elsewhere it goes straight on.
	Through bool
	// Stop, unless nil, is asked now and then whether to go on; its error ends the
	// joining.
	Stop func() error
	// Progress, unless nil, is told now and then what share of the work is done, from 0 to
	// 1 and rising.
	Progress func(share float64)
}

// Report says what [Strokes] did.
type Report struct {
	// MergedMM is the length in mm that was given more than once and is drawn
	// once.
	MergedMM float64
	// Nodes is the number of points where curves end or meet, Odd how many of
	// them an odd number of curves meet at.
	Nodes, Odd int
	// Trails is the number of strokes that come out, dots aside.
	Trails int
}

// Strokes covers the drawing with the fewest strokes. Ends that meet within the
// tolerance become one node, and so does the place where an end touches the
// middle of another stroke; lines that lie on one another are drawn once. Of
// each connected part with 2k odd nodes k strokes remain, the least there can
// be (Euler 1736; Hierholzer 1873), and one closed stroke where no node is
// odd. At each node the pen goes on as straight as that number allows.
//
// Strokes that cross without a common point stay apart, but with [Options].Through. An end moves by the
// tolerance at most, so that ends that met within it meet exactly; all else
// stays where it is. Dots, and strokes no larger than twice the tolerance, are
// left as they are. Strokes come out in the order and direction of the first of
// their curves. Empty strokes are left out.
//
// Lines that lie on one another are drawn once only where that does not make
// more strokes, or saves the ink of a lift for each stroke more: two long curves that
// run along one another for a hair's breadth stay two strokes.
//
// The time grows as n log n in the number of curves and of pieces that come out,
// also where they lie on one another in heaps on one line or circle, or run close
// together over their whole length.
// The error is that of [Options].Stop, or a [fault.Error] of kind [fault.Fit]
// when too many curves heap up in one place.
func Strokes(strokes []paths.Stroke, opt Options) ([]paths.Stroke, Report, error) {
	work := newWork(opt.Stop)
	work.tell = opt.Progress
	return withWork(strokes, opt, work)
}

func withWork(strokes []paths.Stroke, opt Options, work *work) ([]paths.Stroke, Report, error) {
	tol := opt.Tolerance
	if !(tol > 0) {
		tol = 0
	}
	work.inkPerLift = max(InkPerLift, opt.InkPerLift)
	work.allTouch = work.allTouch || opt.Through // what crosses touches then
	free, apart, err := untouched(strokes, tol, work)
	if err != nil {
		return nil, Report{}, err
	}
	parts, alone := explode(strokes, free, tol)
	work.curves, work.apart = len(parts)+apart.curves, apart.curves
	work.phase(0.1, 0.5)
	if err := work.ask(); err != nil {
		return nil, Report{}, err
	}
	var report Report
	pieces := parts
	var g *graph
	if !opt.KeepDoubles {
		alone = withoutDoubleDots(alone)
		rest, err := withoutDoubles(parts, tol, work)
		if err != nil {
			return nil, Report{}, err
		}
		if rest, g, err = spare(parts, rest, tol, work); err != nil {
			return nil, Report{}, err
		}
		report.MergedMM = merged(parts, rest)
		pieces = loosened(slices.Concat(rest...))
	}
	if opt.Through {
		g, work.crossings = nil, true
		var err error
		tol = max(tol, rounding) // two curves' places of one crossing differ by so much
		if pieces, err = splitAtCrossings(pieces, tol, work); err != nil {
			return nil, Report{}, err
		}
	}
	work.phase(0.5, 0.9)
	if g == nil {
		var err error
		if g, err = newGraph(pieces, tol, work); err != nil {
			return nil, Report{}, err
		}
	}
	report.Nodes, report.Odd = g.counts()
	report.Nodes, report.Odd = report.Nodes+apart.nodes, report.Odd+apart.odd
	work.phase(0.9, 1)
	joined, err := g.trails(work)
	if err != nil {
		return nil, Report{}, err
	}
	work.phase(1, 1)
	report.Trails = len(joined) + apart.strokes
	for _, a := range alone {
		if !a.stroke.IsDot() {
			report.Trails++
		}
	}
	return inOrder(joined, alone, strokes, free), report, nil
}

// merged returns the length in mm that is no longer there.
func merged(parts []part, rest [][]part) (sum float64) {
	for i, p := range parts {
		if len(rest[i]) == 1 && rest[i][0].t0 == p.t0 && rest[i][0].t1 == p.t1 {
			continue
		}
		sum += p.Length()
		for _, q := range rest[i] {
			sum -= q.Length()
		}
	}
	return sum
}

// numbered is a stroke with the number of the first stroke it came from.
type numbered struct {
	from   int
	stroke paths.Stroke
}

// inOrder returns the strokes by the first that they came from, and among them those that
// are free as they are.
func inOrder(a, b []numbered, strokes []paths.Stroke, free []bool) []paths.Stroke {
	all := slices.Concat(a, b)
	slices.SortStableFunc(all, func(p, q numbered) int { return p.from - q.from })
	out := make([]paths.Stroke, 0, len(strokes))
	for i, isFree := range free {
		if isFree {
			out = append(out, strokes[i])
		}
		for ; len(all) > 0 && all[0].from == i; all = all[1:] {
			out = append(out, all[0].stroke)
		}
	}
	return out
}

// A part is one curve of the drawing, or a part of one.
type part struct {
	paths.Curve
	// stroke is the number of the stroke it came from; its ends stand at the
	// distances from and to along that.
	stroke   int
	from, to float64
	// looseStart and looseEnd report that the stroke does not go on there.
	looseStart, looseEnd bool
	// source tells apart the curves that parts were cut from; t0 and t1 are the
	// parameters between which it was.
	source int
	whole  paths.Curve
	t0, t1 float64
}

// between returns the part of p between its own parameters a < b, with loose ends
// where it was cut if loose.
func (p part) between(a, b float64, loose bool) part {
	q := p
	q.t0, q.t1 = p.t0+a*(p.t1-p.t0), p.t0+b*(p.t1-p.t0)
	q.Curve = paths.Sub(p.Curve, a, b)
	q.from, q.to = p.from+a*(p.to-p.from), p.from+b*(p.to-p.from)
	if a > 0 {
		q.looseStart = loose
	}
	if b < 1 {
		q.looseEnd = loose
	}
	return q
}

// explode takes the strokes apart that are not free. Dots and strokes too small to be joined
// without vanishing are returned apart.
func explode(strokes []paths.Stroke, free []bool, tol float64) (parts []part, alone []numbered) {
	lengths := make([][]float64, len(strokes)) // of the curves; nil of what stays apart
	cores.Ranges(len(strokes), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			s := strokes[i]
			if free[i] || isAlone(s, s.Bounds(), tol) {
				continue
			}
			lengths[i] = make([]float64, len(s))
			for k, c := range s {
				lengths[i][k] = c.Length()
			}
		}
	})
	for i, s := range strokes {
		if len(s) == 0 || free[i] {
			continue
		}
		if lengths[i] == nil {
			alone = append(alone, numbered{i, s})
			continue
		}
		first, at := len(parts), 0.
		for k, c := range s {
			l := lengths[i][k]
			if l == 0 {
				continue
			}
			parts = append(parts, part{
				Curve: c, stroke: i, from: at, to: at + l,
				source: len(parts), whole: c, t1: 1,
			})
			at += l
		}
		if !s.IsClosed() {
			parts[first].looseStart = true
			parts[len(parts)-1].looseEnd = true
		}
	}
	return parts, alone
}

// withoutDoubleDots returns alone with each dot only once.
func withoutDoubleDots(alone []numbered) []numbered {
	seen := map[paths.Point]bool{}
	return slices.DeleteFunc(slices.Clone(alone), func(n numbered) bool {
		if !n.stroke.IsDot() {
			return false
		}
		p := n.stroke.Start()
		double := seen[p]
		seen[p] = true
		return double
	})
}
