package proof

import (
	"math"
	"slices"

	"weftplot/paths"
)

// outlined returns polygons that together cover the lines drawn with a pen of
// the given half width: a ribbon for each series of pieces that turn gently,
// and a disc at each sharper joint. All have one orientation, so the non-zero
// rule makes one area of them. Round ends get a disc; other ends are cut off
// square. Pieces that do not touch area are left out.
//
// A rasteriser adds up the cover of polygons where they overlap within a pixel,
// so a ribbon for each piece would make curves heavier than straight lines.
func outlined(lines [][]paths.Point, half float64, round bool, area paths.Rect) [][]paths.Point {
	var out [][]paths.Point
	for _, line := range lines {
		n := len(line)
		if n == 1 || n == 2 && line[0] == line[1] {
			if round && area.Contains(line[0]) {
				out = append(out, disc(line[0], half))
			}
			continue
		}
		out = append(out, ribbons(line, half, area)...)
		closed := n > 2 && line[0] == line[n-1]
		for i, p := range line {
			end := i == 0 || i == n-1
			switch {
			case !area.Contains(p):
			case end && closed, end && round, !end && sharp(line[i-1], p, line[i+1], half):
				out = append(out, disc(p, half))
			}
		}
	}
	return out
}

// gentle is the greatest turn, in radians, that a ribbon makes without a disc.
const gentle = 0.5

// sharp reports whether the turn at b needs a disc: it is too great for a
// ribbon, and the disc is large enough to be seen.
func sharp(a, b, c paths.Point, half float64) bool {
	t := turn(a, b, c)
	return half*t > 0.05 && (t > gentle || half*math.Tan(t/2) > min(a.Dist(b), b.Dist(c)))
}

// ribbons returns the parts of a line inside area, widened to both sides.
func ribbons(line []paths.Point, half float64, area paths.Rect) [][]paths.Point {
	var out [][]paths.Point
	var right, left []paths.Point
	finish := func() {
		if right != nil {
			slices.Reverse(left)
			out = append(out, append(right, left...))
		}
		right, left = nil, nil
	}
	put := func(p, side paths.Point) { right, left = append(right, p.Sub(side)), append(left, p.Add(side)) }
	for i := 1; i < len(line); i++ {
		a, b, ok := clipped(line[i-1], line[i], area)
		if !ok || a == b {
			finish()
			continue
		}
		if right == nil {
			put(a, b.Sub(a).Unit().Left().Mul(half))
		}
		side := b.Sub(a).Unit().Left()
		if i+1 < len(line) && b == line[i] && line[i+1] != b && !sharp(line[i-1], b, line[i+1], half) {
			// The direction halfway through the turn, which both pieces share.
			next := line[i+1].Sub(b).Unit().Left()
			put(b, side.Add(next).Mul(half/(1+side.Dot(next))))
			continue
		}
		put(b, side.Mul(half))
		finish()
	}
	finish()
	return out
}

// turn returns the angle between the directions of ab and bc, in [0, π].
func turn(a, b, c paths.Point) float64 {
	u, v := b.Sub(a), c.Sub(b)
	return math.Abs(math.Atan2(u.Cross(v), u.Dot(v)))
}

// disc returns a polygon within a fiftieth of a pixel of the circle, with the
// orientation of the ribbons.
func disc(centre paths.Point, r float64) []paths.Point {
	n := max(8, int(math.Ceil(math.Pi/math.Acos(max(0, 1-0.02/max(r, 0.02))))))
	out := make([]paths.Point, n)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out[i] = centre.Add(paths.Point{X: r * cos, Y: r * sin})
	}
	return out
}

// clipped returns the part of ab inside r and whether there is any, by Liang
// and Barsky, "A New Concept and Method for Line Clipping", ACM Transactions on
// Graphics 3 (1984).
func clipped(a, b paths.Point, r paths.Rect) (paths.Point, paths.Point, bool) {
	d := b.Sub(a)
	t0, t1 := 0.0, 1.0
	for _, e := range [4][2]float64{
		{-d.X, a.X - r.Min.X}, {d.X, r.Max.X - a.X},
		{-d.Y, a.Y - r.Min.Y}, {d.Y, r.Max.Y - a.Y},
	} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	return a.Lerp(b, t0), a.Lerp(b, t1), t0 < t1
}

// maxDashes bounds the pieces that a line is cut into; with more, dashes are
// too short to be seen.
const maxDashes = 20000

// dashed returns the dashes of lines; the pattern begins anew on each line.
func dashed(lines [][]paths.Point, pattern []float64) [][]paths.Point {
	var out [][]paths.Point
	for _, line := range lines {
		if polylineLength(line)/sum(pattern)*float64(len(pattern)) > maxDashes {
			out = append(out, line)
			continue
		}
		out = append(out, dashedLine(line, pattern)...)
	}
	return out
}

func dashedLine(line []paths.Point, pattern []float64) [][]paths.Point {
	var out [][]paths.Point
	k, left := 0, pattern[0]
	piece := []paths.Point{line[0]}
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		whole := a.Dist(b)
		for at := 0.0; at < whole; {
			step := min(left, whole-at)
			at += step
			left -= step
			p := a.Lerp(b, at/whole)
			if k%2 == 0 {
				piece = append(piece, p)
			}
			if left > 1e-9 {
				continue
			}
			if k%2 == 0 {
				out = append(out, piece)
			}
			k++
			left = pattern[k%len(pattern)]
			piece = []paths.Point{p}
		}
	}
	if k%2 == 0 && len(piece) > 1 {
		out = append(out, piece)
	}
	return out
}

func polylineLength(line []paths.Point) float64 {
	var l float64
	for i := 1; i < len(line); i++ {
		l += line[i-1].Dist(line[i])
	}
	return l
}

func sum(v []float64) float64 {
	var s float64
	for _, x := range v {
		s += x
	}
	return s
}
