package paths

import "math"

// Deviation returns how far a strays from b at most: the greatest distance of
// a point of a from the nearest point of b, in mm, to within res of it. It is
// directed; ask both ways for the Hausdorff distance. An empty a strays by 0,
// any a from an empty b by +Inf. The cost is the product of the numbers of
// vertices and samples.
func Deviation(a, b Stroke, res float64) float64 {
	if len(a) == 0 {
		return 0
	}
	bp := b.Flatten(res / 4)
	var worst float64
	for _, p := range samples(a.Flatten(res/4), res/2) {
		worst = max(worst, distToPolyline(p, bp))
	}
	return worst
}

// samples returns points along the polyline no more than gap apart.
func samples(pts []Point, gap float64) []Point {
	out := []Point{pts[0]}
	for i := 1; i < len(pts); i++ {
		n := int(math.Ceil(pts[i-1].Dist(pts[i]) / gap))
		for k := 1; k <= n; k++ {
			out = append(out, pts[i-1].Lerp(pts[i], float64(k)/float64(n)))
		}
	}
	return out
}

// distToPolyline returns the distance from p to the polyline through pts.
func distToPolyline(p Point, pts []Point) float64 {
	if len(pts) == 0 {
		return math.Inf(1)
	}
	best := p.Dist(pts[0])
	for i := 1; i < len(pts); i++ {
		best = min(best, distToSegment(p, pts[i-1], pts[i]))
	}
	return best
}
