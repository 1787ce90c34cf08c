package scan

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// ink is the darkness of a page, for finding the middle of lines to less than a
// pixel.
type ink struct {
	p skeleton.Plane
	// width is the width of the line in pixels, level how much darker than
	// paper it is.
	width, level float64
	// most limits the reach to each side of a line; 0 for the usual limit.
	most float64
	// rim is where the edges of the ink say that pens went, nil unless lines are wide.
	rim *rim
}

// dark returns how much darker than paper a place is: interpolated linearly
// between the middles of pixels, and 0 outside the picture.
func (k ink) dark(at paths.Point) float64 {
	x, y := math.Floor(at.X), math.Floor(at.Y)
	i, j := int(x), int(y)
	if i < 0 || j < 0 || i >= k.p.W-1 || j >= k.p.H-1 {
		return 0
	}
	fx, fy := at.X-x, at.Y-y
	v := k.p.Pixels[j*k.p.W+i:]
	top := float64(v[0])*(1-fx) + float64(v[1])*fx
	bottom := float64(v[k.p.W])*(1-fx) + float64(v[k.p.W+1])*fx
	return skeleton.Paper - (top*(1-fy) + bottom*fy)
}

// shift returns how far the centre of the ink around a place is from it along
// the unit direction n, within reach each way. The centre is a centroid with
// less weight farther out, so that repeated shifts converge to where the ink is
// even on both sides. ok is false where there is no ink.
func (k ink) shift(at, n paths.Point, reach float64) (by float64, ok bool) {
	const part = 0.5 // pixels from place to place
	floor := 0.1 * k.level
	var sum, moment float64
	for i := -int(reach / part); i <= int(reach/part); i++ {
		s := float64(i) * part
		d := k.dark(at.Add(n.Mul(s))) - floor
		if d <= 0 {
			continue
		}
		u := 1 - (s/reach)*(s/reach)
		d *= u * u
		sum, moment = sum+d, moment+d*s
	}
	if sum < 0.1*k.level {
		return 0, false
	}
	return moment / sum, true
}

// reach returns how far to each side of a line its ink is examined: past its
// edge, but not as far as a line two widths away.
func (k ink) reach() float64 {
	if k.most > 0 {
		return k.most
	}
	return 0.85*k.width + 1.5
}

// refine moves the points of a line to the middle of its ink: it smooths them
// first, then moves each along the normal. A ring does not repeat its first
// point.
func (k ink) refine(pts []paths.Point, ring bool) []paths.Point {
	if k.rim != nil && ring {
		return k.seenRing(pts)
	}
	smooth := even
	if ring {
		pts, smooth = resampleRing(pts), evenRing
	} else {
		pts = resample(pts, 1)
	}
	for _, sigma := range []float64{0.4, 0.4, 0.25} {
		pts = smooth(pts, sigma*k.width)
		moved := make([]paths.Point, len(pts))
		for i, p := range pts {
			n := direction(pts, i, int(k.width/2)+1, ring).Left()
			moved[i] = p
			if by, ok := k.shift(p, n, k.reach()); ok {
				moved[i] = p.Add(n.Mul(by))
			}
		}
		pts = moved
	}
	return pts
}

// trim shortens a line at both ends; by is the length cut off each, in pixels.
func trim(pts []paths.Point, by float64) []paths.Point {
	cut := func(pts []paths.Point) []paths.Point {
		var s float64
		for i := 1; i < len(pts); i++ {
			if s += pts[i].Dist(pts[i-1]); s >= by {
				return pts[i:]
			}
		}
		return pts
	}
	return reversed(cut(reversed(cut(pts))))
}

func reversed(pts []paths.Point) []paths.Point {
	out := make([]paths.Point, len(pts))
	for i, p := range pts {
		out[len(pts)-1-i] = p
	}
	return out
}

// resample returns points along a line, both ends included; apart is about the
// distance between them, in pixels.
func resample(pts []paths.Point, apart float64) []paths.Point {
	var length float64
	for i := 1; i < len(pts); i++ {
		length += pts[i].Dist(pts[i-1])
	}
	n := int(math.Round(length / apart))
	if n < 1 {
		return pts
	}
	out := make([]paths.Point, 1, n+1)
	out[0] = pts[0]
	var s float64
	for i := 1; i < len(pts); i++ {
		l := pts[i].Dist(pts[i-1])
		for next := float64(len(out)) * length / float64(n); len(out) < n && s+l >= next; next = float64(len(out)) * length / float64(n) {
			out = append(out, pts[i-1].Lerp(pts[i], (next-s)/l))
		}
		s += l
	}
	return append(out, pts[len(pts)-1])
}

// even smooths a line: each point becomes the mean of those around it with
// Gaussian weights, whose deviation is sigma points. Near the ends the window
// is cut to what there is on both sides, so that the ends stay.
func even(pts []paths.Point, sigma float64) []paths.Point {
	reach := int(math.Ceil(2.5 * sigma))
	bell := make([]float64, reach+1)
	for i := range bell {
		bell[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
	}
	out := make([]paths.Point, len(pts))
	for i, p := range pts {
		r := min(reach, i, len(pts)-1-i)
		sum, whole := p.Mul(bell[0]), bell[0]
		for d := 1; d <= r; d++ {
			sum = sum.Add(pts[i-d].Add(pts[i+d]).Mul(bell[d]))
			whole += 2 * bell[d]
		}
		out[i] = sum.Mul(1 / whole)
	}
	return out
}

// resampleRing returns points about a pixel apart along a closed line, the first
// not repeated.
func resampleRing(pts []paths.Point) []paths.Point {
	pts = resample(append(slices.Clone(pts), pts[0]), 1)
	return pts[:max(1, len(pts)-1)]
}

// evenRing is even for a closed line.
func evenRing(pts []paths.Point, sigma float64) []paths.Point {
	pad := min(len(pts), int(4*sigma)+1)
	long := append(append(append([]paths.Point{}, pts[len(pts)-pad:]...), pts...), pts[:pad]...)
	return even(long, sigma)[pad : pad+len(pts)]
}

// direction returns the direction of a line or a ring at point i, from the
// points that are reach places before and after it.
func direction(pts []paths.Point, i, reach int, ring bool) paths.Point {
	n := len(pts)
	if ring {
		reach = min(reach, n/4)
		return pts[(i+reach)%n].Sub(pts[(i-reach+n)%n]).Unit()
	}
	return pts[min(n-1, i+reach)].Sub(pts[max(0, i-reach)]).Unit()
}

// breadth returns the width of the ink across a line at a place with the normal
// n, between where it falls to half of its greatest darkness there.
func (k ink) breadth(at, n paths.Point) (float64, bool) {
	peak := 0.0
	for s := -k.width / 4; s <= k.width/4; s += 0.5 {
		peak = max(peak, k.dark(at.Add(n.Mul(s))))
	}
	if peak < 0.3*k.level {
		return 0, false
	}
	var sum float64
	for _, side := range []float64{-1, 1} {
		before := peak
		const part = 0.25
		for s := part; ; s += part {
			if s > 2*k.width {
				return 0, false
			}
			here := k.dark(at.Add(n.Mul(side * s)))
			if here < peak/2 && s > k.width/4 {
				sum += s - part*passed(before, peak/2, here)
				break
			}
			before = here
		}
	}
	return sum, true
}

// passed returns the share of a step, from one darkness to a lesser one, that
// lies below a level between them; all of it if both are below the level.
func passed(before, level, here float64) float64 {
	if before <= level {
		return 1
	}
	return (level - here) / (before - here)
}

// tip returns where a line that runs on from a place in the unit direction d
// ends, for a pen with a round tip of the given breadth: half the breadth short
// of where the ink falls to half of the line's darkness.
func (k ink) tip(at, d paths.Point, breadth float64) paths.Point {
	half := k.level / 2
	n := d.Left()
	across := func(s float64) float64 { // the mean over the middle of the line
		var sum float64
		for _, o := range []float64{-0.15, 0, 0.15} {
			sum += k.dark(at.Add(d.Mul(s)).Add(n.Mul(o * breadth)))
		}
		return sum / 3
	}
	before := across(0)
	const part = 0.25
	for s := part; s < max(2.5*k.width, 1.5*breadth); s += part {
		here := across(s)
		if here < half {
			s -= part * passed(before, half, here)
			return at.Add(d.Mul(s - breadth/2))
		}
		before = here
	}
	return at
}
