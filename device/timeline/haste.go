package timeline

import (
	"weftplot/paths"
	"weftplot/plot/program"
)

// A machine that leaves out part of a program may still be found on its route: a
// closed stroke ends where it begins. What gives it away is that it is farther
// along the program than it can have come.

// Swiftest is how many times its feed a machine may draw with that nobody has turned
// up: controllers and their clocks are not exact.
const Swiftest = 1.25

// soonest returns for every moment how long the drawing before it takes at the
// least, s. Travels count as nothing: nothing is missing where one was left out.
func (r *Route) soonest() []float64 {
	if r.least == nil {
		r.least = make([]float64, len(r.Blocks)+1)
		for i, b := range r.Blocks {
			r.least[i+1] = r.least[i]
			if b.Kind == program.Draw && b.Feed > 0 {
				r.least[i+1] += b.Curve.Length() / (Swiftest * b.Feed)
			}
		}
	}
	return r.least
}

// Soonest returns how long the drawing takes at the least up to a place of the
// route, s: along mm along a block.
func (r *Route) Soonest(block int, along float64) float64 {
	t := r.soonest()
	if block >= len(r.Blocks) {
		return t[len(t)-1]
	}
	length := 0.0
	if c := r.Blocks[block].Curve; c != nil {
		length = c.Length()
	}
	if length == 0 {
		return t[block]
	}
	return t[block] + min(1, along/length)*(t[block+1]-t[block])
}

// Latest returns the latest time, as Soonest has it and no later than limit, at
// which the route passes a place on or after the machine's earliest, in blocks
// written before offset. It is that of the earliest place if there is no other.
func (r *Route) Latest(at paths.Point, offset int, limit float64) float64 {
	block, along := r.last(at, offset, limit)
	return max(r.Soonest(r.Block, r.Along), r.Soonest(block, along))
}

// last returns the last place that Latest goes by: along mm along a block.
func (r *Route) last(at paths.Point, offset int, limit float64) (block int, along float64) {
	t, from := r.soonest(), r.Along
	block, along = r.Block, r.Along
	for i := r.Block; i < len(r.Blocks) && t[i] <= limit && r.Timeline.Moments[i+1].End <= offset; i++ {
		if c := r.Blocks[i].Curve; c != nil {
			upTo := c.Length()
			if took := t[i+1] - t[i]; took > 0 {
				upTo *= min(1, (limit-t[i])/took)
			}
			if s, ok := leaves(c, at, from, upTo); ok {
				block, along = i, s
			}
		}
		from = 0
	}
	return block, along
}

// Round reports whether a machine that is seen at a place may have left it and come
// back to it within so many seconds, in blocks written before offset: it has drawn a
// closed stroke, or there and back. The block is that in which it comes back last.
func (r *Route) Round(at paths.Point, offset int, seconds float64) (block int, ok bool) {
	block, along := r.last(at, offset, r.Soonest(r.Block, r.Along)+seconds)
	if r.drawn(block, along)-r.drawn(r.Block, r.Along) <= 4*Tolerance {
		return 0, false // it never was farther off than reports tell
	}
	return block, true
}

// drawn returns the length, mm, that is drawn before a place of the route.
func (r *Route) drawn(block int, along float64) float64 {
	length := r.Timeline.Moments[min(block, len(r.Blocks))].Drawn
	if block < len(r.Blocks) && r.Blocks[block].Kind == program.Draw {
		length += along
	}
	return length
}

// leaves returns how far along c the last place within Tolerance of p is, mm, no
// less than from and no more than upTo, and false if there is none.
func leaves(c paths.Curve, p paths.Point, from, upTo float64) (float64, bool) {
	if !c.Bounds().Grow(Tolerance).Contains(p) {
		return 0, false
	}
	pts := paths.Stroke{c}.Flatten(Tolerance / 8)
	start, last, found := 0.0, 0.0, false
	for k := 1; k < len(pts) && start <= upTo; k++ {
		l := paths.Line{A: pts[k-1], B: pts[k]}
		n := l.Length()
		if _, ok := enters(l, p, from-start); ok && start+n >= from {
			// The other end of the line within Tolerance, found from there.
			if back, ok := enters(paths.Line{A: l.B, B: l.A}, p, start+n-upTo); ok {
				last, found = max(from, start+n-back), true
			}
		}
		start += n
	}
	return last, found
}

// ClosedInABlink reports whether a stroke in the blocks from one up to those
// written before offset ends where it begins, and is drawn in less than so many
// seconds: reports may not show whether it was.
func (r *Route) ClosedInABlink(from, offset int, seconds float64) bool {
	t := r.soonest()
	for i := from; i < len(r.Blocks); {
		first := i
		for i < len(r.Blocks) && r.Blocks[i].Kind == program.Draw && r.Timeline.Moments[i+1].End <= offset {
			i++
		}
		if i == first {
			if i++; r.Timeline.Moments[i].End > offset {
				return false
			}
			continue
		}
		a, b := r.Blocks[first].Curve.Start(), r.Blocks[i-1].Curve.End()
		if t[i]-t[first] < seconds && a.Dist(b) <= 2*Tolerance {
			return true
		}
	}
	return false
}
