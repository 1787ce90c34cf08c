package deviation

import (
	"math"

	"weftplot/paths"
)

// Of returns how far a strays from b: the greatest distance of a point
// of a from the nearest point of b, in mm, to within res. It is directed; ask
// both ways for the Hausdorff distance. An empty a strays by 0, any a from an
// empty b by +Inf. The cost is about linear in the vertices of two strokes that
// lie close together.
//
// Along a straight piece the distance to one segment is convex, and the
// distance to the nearest segment changes by no more than the point moves. So a
// piece whose two ends are nearest to the same segment is not searched between
// them, and other pieces are halved only while they could still hold a greater
// distance.
func Of(a, b paths.Stroke, res float64) float64 {
	if len(a) == 0 {
		return 0
	}
	if len(b) == 0 {
		return math.Inf(1)
	}
	return newSegments(b.Flatten(res/4)).strayed(a.Flatten(res/4), 0, res)
}

// Apart returns how far two strokes stray from each other, in mm, to within res: the
// greater of both deviations, which is their Hausdorff distance. Two empty ones are 0
// apart, one and another +Inf.
func Apart(a, b paths.Stroke, res float64) float64 {
	if len(a) == 0 || len(b) == 0 {
		return max(Of(a, b, res), Of(b, a, res))
	}
	p, q := a.Flatten(res/4), b.Flatten(res/4)
	return max(newSegments(q).strayed(p, 0, res), newSegments(p).strayed(q, 0, res))
}

// AreWithin reports whether two strokes stray no farther than tol mm from each other. What
// is farther by less than res may still count. It costs less than [Apart], because it need
// not know how far they do stray.
func AreWithin(a, b paths.Stroke, tol, res float64) bool {
	if len(a) == 0 || len(b) == 0 {
		return len(a) == len(b)
	}
	if alongside(a, b, tol) {
		return true
	}
	p, q := a.Flatten(res/4), b.Flatten(res/4)
	return newSegments(q).strayed(p, tol, res) <= tol && newSegments(p).strayed(q, tol, res) <= tol
}

// strayed returns how far the polyline through pts strays from the segments, to within
// half of res; where that is no more than enough, it may return another value that is
// no more either.
func (ix *segments) strayed(pts []paths.Point, enough, res float64) float64 {
	d0, s0 := ix.near(pts[0], 1, enough)
	worst := d0
	for i := 1; i < len(pts); i++ {
		d1, s1 := ix.near(pts[i], s0, enough)
		worst = max(worst, d1, ix.between(pts[i-1], pts[i], d0, d1, s0, s1, max(worst, enough), res/2, enough))
		d0, s0 = d1, s1
	}
	return worst
}

// between returns the greatest distance between two points of which a distance to a
// segment is known, and which segment that is, to within slack; or a lesser value, if
// the greatest is at most slack above what was found before.
func (ix *segments) between(p, q paths.Point, d0, d1 float64, s0, s1 int, before, slack, enough float64) float64 {
	worst := max(d0, d1)
	if s0 == s1 || (d0+d1+math.Sqrt(q.Sub(p).Dot(q.Sub(p))))/2 <= max(before, worst)+slack {
		return worst
	}
	if enough > 0 { // both ends may be near enough to one of them
		if d := math.Sqrt(ix.distSq(s1, p)); d <= enough {
			return max(worst, d)
		}
	}
	m := p.Lerp(q, 0.5)
	dm, sm := ix.near(m, s0, enough)
	worst = max(worst, dm, ix.between(p, m, d0, dm, s0, sm, max(before, worst), slack, enough))
	return max(worst, ix.between(m, q, dm, d1, sm, s1, max(before, worst), slack, enough))
}
