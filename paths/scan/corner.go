package scan

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// cornerTurn is the least turn that is a corner and not a bend.
const cornerTurn = 28 * degree

// sharpen cuts a chain where it turns sharply. Thinning and the pen round such
// a corner, so the runs meet where their sides cross when extended.
func (c chain) sharpen(k ink) chain {
	if c.isLoop() {
		return sharpenLoop(c, k)
	}
	out := chain{closed: c.closed}
	for _, r := range c.runs {
		out.runs = append(out.runs, r.sharpen(k)...)
	}
	return out
}

// sharpenLoop begins a loop at its first corner, if it has one. It searches a
// little more than one round, so that a corner near the start of the loop is
// seen whole.
func sharpenLoop(c chain, k ink) chain {
	pts := c.runs[0].pts
	pad := min(len(pts), int(6*k.width))
	long := append(append([]paths.Point{}, pts...), pts[:pad]...)
	for _, x := range corners(long, k) {
		at := x.mid % len(pts)
		turned := append(append([]paths.Point{}, pts[at:]...), pts[:at]...)
		// Both ends lie in the corner; drop the rounded part there.
		v := place{x.at, true}
		r := run{pts: trim(turned, x.cut), a: v, b: v}
		return chain{r.sharpen(k), true}
	}
	return c
}

// sharpen cuts a run at its corners.
func (r run) sharpen(k ink) []run {
	var out []run
	from := 0
	now := run{a: r.a}
	for _, x := range corners(r.pts, k) {
		cut := int(x.cut)
		now.pts = r.pts[from:max(from+1, x.mid-cut)]
		now.b = place{x.at, true}
		out = append(out, now)
		from = min(len(r.pts)-1, x.mid+cut)
		now = run{a: now.b}
	}
	now.pts, now.b = r.pts[from:], r.b
	return append(out, now)
}

// corner is a sharp turn of a line.
type corner struct {
	// mid is the index of the point nearest to it; cut is how many points to
	// each side are rounded.
	mid int
	cut float64
	at  paths.Point
}

// corners finds the corners of a line whose points are about a pixel apart
// except across gaps, where it finds none.
func corners(pts []paths.Point, k ink) []corner {
	var out []corner
	from := 0
	for i := 1; i <= len(pts); i++ {
		if i < len(pts) && pts[i].Dist(pts[i-1]) < 3 {
			continue
		}
		for _, x := range cornersOf(pts[from:i], k) {
			x.mid += from
			out = append(out, x)
		}
		from = i
	}
	return out
}

// looks are the passes of the search for corners. Each compares the direction
// of the line on the two sides of a place, beginning inner widths away, and
// takes a turn of at least turn as a corner. The sides of an acute corner can
// be seen only farther away; but the farther away they are, the more a bend, or
// two corners close together, looks like one corner.
var looks = []struct{ inner, turn float64 }{{0.7, cornerTurn}, {1.3, 60 * degree}, {2, 90 * degree}}

// sideWidths is the length of a side that is compared, in widths.
const sideWidths = 1.8

// cornersOf finds the corners of a line without gaps, in order along it: those
// seen from nearby take precedence over others around them.
func cornersOf(pts []paths.Point, k ink) []corner {
	smooth := even(pts, k.width/5)
	turns := make([]float64, len(pts))
	var out []corner
	for _, l := range looks {
		inner, side := l.inner*k.width, sideWidths*k.width
		for i := range pts {
			turns[i] = sharpness(smooth, i, inner, side)
		}
		for i := range turns {
			near := func(x corner) bool { return math.Abs(float64(x.mid-i)) <= inner+side }
			if turns[i] < l.turn || !isPeak(turns, i, int(inner+side)) || slices.ContainsFunc(out, near) {
				continue
			}
			if x, ok := k.cornerAt(smooth, i, looks[0].inner*k.width, side); ok {
				out = append(out, x)
			}
		}
	}
	slices.SortFunc(out, func(a, b corner) int { return cmp.Compare(a.mid, b.mid) })
	return out
}

// sharpness returns how much more a line turns at point i than it would if it
// bent there as it does on both sides.
func sharpness(pts []paths.Point, i int, inner, side float64) float64 {
	a, b, ok := sides(pts, i, inner, side)
	if !ok {
		return 0
	}
	t := turnOf(a.dir, b.dir)
	expect := (a.bend + b.bend) / 2 * (2 * inner)
	if math.Signbit(t) == math.Signbit(expect) {
		return max(0, math.Abs(t)-math.Abs(expect))
	}
	return math.Abs(t)
}

// isPeak reports whether no other turn within reach is greater; of equal ones
// the first is.
func isPeak(turns []float64, i, reach int) bool {
	for j := max(0, i-reach); j <= min(len(turns)-1, i+reach); j++ {
		if turns[j] > turns[i] || turns[j] == turns[i] && j < i {
			return false
		}
	}
	return true
}

// flank is the line at one side of a corner: the last place clear of the
// corner, the direction there along the line, and the curvature to the left in
// radians a pixel.
type flank struct {
	at, dir paths.Point
	bend    float64
}

// sides returns the flanks of point i, taken from inner to inner+side points
// away from it. ok is false where the line is too short.
func sides(pts []paths.Point, i int, inner, side float64) (a, b flank, ok bool) {
	in := int(inner)
	sa, sb := min(int(side), i-in), min(int(side), len(pts)-1-i-in)
	if least := int(side * 0.45); sa < max(2, least) || sb < max(2, least) {
		return a, b, false
	}
	a = flankOf(pts[i-in-sa/2], pts[i-in-sa], pts[i-in])
	b = flankOf(pts[i+in+sb/2], pts[i+in+sb], pts[i+in])
	b.dir, b.bend = b.dir.Mul(-1), -b.bend // it was followed the other way
	return a, b, true
}

// flankOf returns the flank through three places, towards the last.
func flankOf(mid, far, near paths.Point) flank {
	u, v := mid.Sub(far), near.Sub(mid)
	bend := turnOf(u, v)
	l := (u.Len() + v.Len()) / 2
	f := flank{at: near, dir: rotated(v.Unit(), bend/2)}
	if l > 0 {
		f.bend = bend / l
	}
	return f
}

// cornerAt makes a corner of the turn at point i if its sides, extended, meet
// near enough to the line. The sides of a tight bend meet farther out, where
// there is no ink.
func (k ink) cornerAt(pts []paths.Point, i int, inner, side float64) (corner, bool) {
	width := k.width
	a, b, ok := sides(pts, i, inner, side)
	if !ok {
		return corner{}, false
	}
	half := halfAngle(a.dir, b.dir)
	for range 4 {
		// Where lines of this width merge, thinning gives only one line, and
		// smoothing has rounded what lies next to it.
		cut := min(max(inner, 0.55*width/math.Tan(max(half, 0.1)))+0.4*width, 3.5*width)
		if _, _, ok = sides(pts, i, cut, side); !ok {
			return corner{}, false
		}
		u := rayOf(leading(reversed(pts[:max(1, i-int(cut)+1)]), 4*width), width)
		v := rayOf(leading(pts[min(len(pts)-1, i+int(cut)):], 4*width), width)
		at, ok := u.meet(v)
		if !ok || turn(u.dir, v.dir.Mul(-1)) < 0.8*cornerTurn {
			return corner{}, false
		}
		from, to := max(0, i-int(cut)-1), min(len(pts), i+int(cut)+2)
		before, was := half, i
		half, i = halfAngle(u.dir, v.dir.Mul(-1)), from+nearestOf(at, pts[from:to])
		if half < before-2*degree || max(i-was, was-i) > 2 {
			continue // try again around the place found, with sides farther out
		}
		return corner{i, cut, at}, k.inked(at) && k.isSharp(at, pts[i], half)
	}
	return corner{}, false
}

// halfAngle returns half the angle between the sides of a corner that is
// entered along u and left along v.
func halfAngle(u, v paths.Point) float64 { return (math.Pi - turn(u, v)) / 2 }

// isInk is the share of the usual darkness from which a place has ink.
const isInk = 0.35

// inked reports whether there is ink at a place: where a pen turned, it has been.
func (k ink) inked(at paths.Point) bool { return k.dark(at) > isInk*k.level }

// isSharp reports whether a line whose middle comes as near as p to the place
// where its sides meet was drawn as a sharp corner.
func (k ink) isSharp(at, p paths.Point, half float64) bool {
	// The middle line of a sharp corner keeps as far from the notch between its
	// sides as from their outer edges.
	sharp := k.width / 2 * (1/math.Sin(half) - 1) / (1 + math.Sin(half))
	if k.rim != nil {
		sharp = 0 // this is no middle line
	}
	off := at.Dist(p)
	if off < 1.2*sharp+0.22*k.width {
		return true
	}
	out := at.Sub(p).Unit()
	for s := 0.0; s < off+0.3*k.width; s++ {
		if k.dark(p.Add(out.Mul(s))) < 0.4*k.level {
			return false
		}
	}
	return off < 3*sharp+0.3*k.width
}
