package raster

import (
	"math"
	"slices"

	"weftplot/paths"
)

// line is the set of points p with dot(p, normal) = at; normal has length 1.
type line struct {
	normal paths.Point
	at     float64
}

func (l line) off(p paths.Point) float64 { return p.Dot(l.normal) - l.at }

// meets returns where two lines cross, and whether they do.
func (l line) meets(m line) (paths.Point, bool) {
	d := l.normal.Cross(m.normal)
	if abs(d) < 1e-3 {
		return paths.Point{}, false
	}
	return paths.Point{
		X: (l.at*m.normal.Y - m.at*l.normal.Y) / d,
		Y: (l.normal.X*m.at - m.normal.X*l.at) / d,
	}, true
}

// side is an edge of the sheet as found.
type side struct {
	line line
	// share is the part of the places examined at which the edge was found on
	// the line; rms is how far those are off it, in pixels.
	share, rms float64
}

// edgeBetween looks for the edge of a sheet near the line from a to b, within
// reach pixels of it: where light falls off most towards the outside of ab,
// which is its left as seen with y down. The corners are left out.
func edgeBetween(g grey, a, b paths.Point, reach float64) side {
	along := b.Sub(a)
	out := paths.Point{X: along.Y, Y: -along.X}.Unit()
	n := edgePlaces(along.Len())
	pts := edgePoints(g, a, b, reach)
	if len(pts) < n/4 {
		return side{}
	}
	l, inliers := robustLine(pts)
	if meanFall(g, inliers, out) < leastFall {
		return side{} // only noise, of which the steepest step was picked
	}
	s := side{line: l, share: float64(len(inliers)) / float64(n)}
	for _, p := range inliers {
		s.rms += l.off(p) * l.off(p) / float64(len(inliers))
	}
	s.rms = math.Sqrt(s.rms)
	return s
}

// edgePlaces is at how many places an edge of a length in pixels is looked for.
func edgePlaces(length float64) int { return int(min(400, max(40, length/4))) }

// edgePoints returns the places near the line from a to b where light falls off most, in
// order along it.
func edgePoints(g grey, a, b paths.Point, reach float64) []paths.Point {
	along := b.Sub(a)
	out := paths.Point{X: along.Y, Y: -along.X}.Unit()
	n := edgePlaces(along.Len())
	var pts []paths.Point
	for i := range n {
		t := 0.05 + 0.9*(float64(i)+0.5)/float64(n)
		if s, ok := fallOff(g, a.Lerp(b, t), out, along.Unit(), reach); ok {
			pts = append(pts, a.Lerp(b, t).Add(out.Mul(s)))
		}
	}
	return pts
}

// meanFall returns how much light falls off across an edge, from five to eight
// pixels inside to as far outside, in the mean over points on it.
func meanFall(g grey, pts []paths.Point, out paths.Point) float64 {
	var sum float64
	for _, p := range pts {
		for d := 5.0; d <= 8; d++ {
			sum += g.at(p.Sub(out.Mul(d))) - g.at(p.Add(out.Mul(d)))
		}
	}
	return sum / max(1, float64(4*len(pts)))
}

// leastFall is the least fall of light at an edge, in levels of 256: a smaller
// one is lost in the noise of a dim photo.
const leastFall = 14

// fallOff returns where along out from p the light falls off most, in pixels
// and to a fraction of one: the centroid of the fall. It uses the mean over a
// few pixels along the edge.
func fallOff(g grey, p, out, along paths.Point, reach float64) (float64, bool) {
	const step = 0.5
	n := int(2*reach/step) + 1
	light := make([]float64, n)
	for i := range light {
		at := p.Add(out.Mul(-reach + float64(i)*step))
		for j := -1; j <= 1; j++ {
			light[i] += g.at(at.Add(along.Mul(float64(j)))) / 3
		}
	}
	// The fall is taken over the width of a blurred edge, about three pixels.
	const span = 6
	best, at := float64(leastFall), -1
	for i := 0; i+span < n; i++ {
		if fall := light[i] - light[i+span]; fall > best {
			best, at = fall, i
		}
	}
	if at < 0 {
		return 0, false
	}
	var sum, moment float64
	for i := max(0, at-span/2); i+1 < min(n, at+span+span/2+1); i++ {
		d := max(0, light[i]-light[i+1])
		sum += d
		moment += d * (float64(i) + 0.5)
	}
	return -reach + step*moment/sum, sum > 0
}

// at returns the light at a place in pixels, interpolated between the four
// nearest pixels; the middle of the first pixel is at (0.5, 0.5). Beyond the
// edge it is that of the edge.
func (g grey) at(p paths.Point) float64 {
	x, y := min(max(p.X-0.5, 0), float64(g.w-1)), min(max(p.Y-0.5, 0), float64(g.h-1))
	x0, y0 := min(int(x), max(0, g.w-2)), min(int(y), max(0, g.h-2))
	dx, dy := x-float64(x0), y-float64(y0)
	i := y0*g.w + x0
	right, down := min(1, g.w-1), g.w*min(1, g.h-1)
	top := float64(g.pix[i])*(1-dx) + float64(g.pix[i+right])*dx
	bottom := float64(g.pix[i+down])*(1-dx) + float64(g.pix[i+down+right])*dx
	return top*(1-dy) + bottom*dy
}

// robustLine fits a line to points with outliers: least absolute distances by
// iterative reweighting, then least squares over the points near it.
func robustLine(pts []paths.Point) (line, []paths.Point) {
	weight := make([]float64, len(pts))
	for i := range weight {
		weight[i] = 1
	}
	l := fitLine(pts, weight)
	for range 30 {
		for i, p := range pts {
			weight[i] = 1 / max(0.1, abs(l.off(p)))
		}
		l = fitLine(pts, weight)
	}
	off := make([]float64, len(pts))
	for i, p := range pts {
		off[i] = abs(l.off(p))
	}
	sorted := slices.Clone(off)
	slices.Sort(sorted)
	// For normal errors, 1.4826 times the median is the standard deviation.
	near := max(1, 3*1.4826*sorted[len(sorted)/2])
	near = min(near, 6)
	var inliers []paths.Point
	for i, p := range pts {
		weight[i] = 0
		if off[i] <= near {
			weight[i] = 1
			inliers = append(inliers, p)
		}
	}
	if len(inliers) < 2 {
		return l, inliers
	}
	return fitLine(pts, weight), inliers
}

// fitLine fits a line by least squares of the distances.
func fitLine(pts []paths.Point, weight []float64) line {
	var sum float64
	var mean paths.Point
	for i, p := range pts {
		sum += weight[i]
		mean = mean.Add(p.Mul(weight[i]))
	}
	mean = mean.Mul(1 / sum)
	var xx, xy, yy float64
	for i, p := range pts {
		d := p.Sub(mean)
		xx += weight[i] * d.X * d.X
		xy += weight[i] * d.X * d.Y
		yy += weight[i] * d.Y * d.Y
	}
	sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	n := paths.Point{X: -sin, Y: cos}
	return line{n, mean.Dot(n)}
}
