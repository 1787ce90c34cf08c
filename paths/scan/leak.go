package scan

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/areas"
)

// A leak is a passage between lines through solid ink, by which an area that is closed
// on paper is open. Thinning leaves one where the ink of several lines merges; it is no
// wider than ink is.

const (
	// leakWidths is how wide a leak is at most, in widths of the line.
	leakWidths = 1.2
	// movedWidths is how far from a leak, in widths of the line, an end or a corner is
	// that is moved to close it.
	movedWidths = 0.6
)

// closeLeaks closes the leaks of areas that ink closes, up to gaps of a width in it. What
// does not close its area is undone.
func (t *tracer) closeLeaks(p areas.Plan, k ink, gap float64) {
	const rounds = 4 // an area may have a leak at each of its corners
	var useless []areas.Open
	open := p.Open(t.out.Strokes, gap)
	for range rounds {
		before := slices.Clone(t.out.Strokes)
		var closed []areas.Open
		for _, o := range open {
			if !t.isAmong(useless, o) && t.closeLeak(k, o) {
				closed = append(closed, o)
			}
		}
		if len(closed) == 0 {
			return
		}
		still := p.Open(t.out.Strokes, gap)
		n := len(useless)
		for _, o := range closed {
			if t.isAmong(still, o) {
				useless = append(useless, o)
			}
		}
		if len(useless) > n {
			t.out.Strokes = before // again, without these
			continue
		}
		open = still
	}
}

// isAmong reports whether one of some open areas has its passage where o has it.
func (t *tracer) isAmong(list []areas.Open, o areas.Open) bool {
	return slices.ContainsFunc(list, func(other areas.Open) bool { return other.At().Dist(o.At()) < apartMM/t.mm })
}

// closeLeak closes a passage if it is a leak: an end or a corner at one of its sides is
// moved to the other, or else a short line is added. It reports whether it did.
func (t *tracer) closeLeak(k ink, o areas.Open) bool {
	gap := o.From.Dist(o.To)
	if gap == 0 || gap > leakWidths*t.width || !k.isSolid(o.From, o.To, t.grainy) {
		return false
	}
	i, a := nearestStroke(t.out.Strokes, o.From)
	j, b := nearestStroke(t.out.Strokes, o.To)
	if i < 0 || j < 0 || a == b {
		return false
	}
	if !t.moveOnto(i, a, b) && !t.moveOnto(j, b, a) {
		t.out.Strokes = append(t.out.Strokes, paths.Polyline(a, b))
	}
	return true
}

// isSolid reports whether ink lies all along from a to b; where it is grainy, whether it
// does in the mean.
func (k ink) isSolid(a, b paths.Point, grainy bool) bool {
	n := int(math.Ceil(a.Dist(b)))
	sum, least := 0.0, math.Inf(1)
	for i := range n + 1 {
		dark := k.dark(a.Lerp(b, float64(i)/float64(n)))
		sum, least = sum+dark, min(least, dark)
	}
	if grainy {
		return sum/float64(n+1) > isInk*k.level
	}
	return least > isInk*k.level
}

// nearestStroke returns the stroke nearest to a place and the nearest place on it; -1 where
// there is none.
func nearestStroke(strokes []paths.Stroke, p paths.Point) (i int, at paths.Point) {
	i = -1
	least := math.Inf(1)
	for j, s := range strokes {
		if len(s) == 0 || s.IsDot() || !s.Bounds().Grow(3).Contains(p) {
			continue
		}
		if c, u, d := near.OnStroke(s, p); d < least {
			i, at, least = j, s[c].At(u), d
		}
	}
	return i, at
}

// moveOnto moves an end or a corner of stroke i that lies near its place a to b, if it
// lies on no other stroke. It reports whether there was one.
func (t *tracer) moveOnto(i int, a, b paths.Point) bool {
	s := t.out.Strokes[i]
	n := len(s)
	isFree := func(p paths.Point) bool { return p.Dist(a) <= movedWidths*t.width && !t.isShared(p, i) }
	for _, last := range []bool{false, true} {
		if !s.IsClosed() && isFree(endOf(s, last)) {
			t.out.Strokes[i] = endedAt(s, last, b)
			return true
		}
	}
	for k := range s {
		next := (k + 1) % n
		if next == 0 && (n < 2 || !s.IsClosed()) {
			break
		}
		if turn(s[k].Tangent(1), s[next].Tangent(0)) >= cornerTurn && isFree(s[k].End()) {
			t.out.Strokes[i] = corneredAt(s, k, next, b)
			return true
		}
	}
	return false
}

// isShared reports whether a place of stroke i lies on another too.
func (t *tracer) isShared(p paths.Point, i int) bool {
	for j, o := range t.out.Strokes {
		if j == i || len(o) == 0 || !o.Bounds().Grow(1).Contains(p) {
			continue
		}
		if _, _, d := near.OnStroke(o, p); d < 1e-6 {
			return true
		}
	}
	return false
}

// corneredAt returns a stroke with the corner between curves k and next moved.
func corneredAt(s paths.Stroke, k, next int, at paths.Point) paths.Stroke {
	s = slices.Clone(s)
	s[k] = paths.Spanned(s[k], s[k].Start(), at)
	s[next] = paths.Spanned(s[next], at, s[next].End())
	return s
}
