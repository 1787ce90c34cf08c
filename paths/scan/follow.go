package scan

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// Following goes on from an end through what the paper left out of a faint line, as far
// as the paper between is darker than at its sides.

const (
	// followFrom and followWidths are how far a line is followed at least and at most, in
	// widths of it, and mostFollowMM bounds it. Narrower gaps are looked at by what lies
	// across them, whatever the direction.
	followFrom, followWidths, mostFollowMM = 2.5, 14, 8
	// bent is how far a line may turn from its end to what it goes on to.
	bent = 45 * degree
	// shown is the share of the usual darkness that shows a line all along a gap. Half of
	// it is enough on a piece of bareWidths, in widths of the line.
	shown, bareWidths = 0.3, 3
)

// pathOn is a curve from an open end of a stroke to another end, or to a line.
type pathOn struct {
	from, to strokeEnd // to.stroke is -1 where it leads to the side of a line
	curve    paths.Curve
	cost     float64
}

// follow joins the ends of strokes to what they lead to, along lines that are hardly to be
// seen and no longer than far, in pixels.
func (w *welder) follow(far float64) {
	var ends []strokeEnd
	for i, s := range w.strokes {
		if len(s) > 0 && !s.IsDot() && !s.IsClosed() {
			ends = append(ends, strokeEnd{i, false}, strokeEnd{i, true})
		}
	}
	ends = slices.DeleteFunc(ends, func(e strokeEnd) bool { return w.touches(e) })
	at := make([]paths.Point, len(ends))
	for k, e := range ends {
		at[k] = w.out(e).at
	}
	index := near.NewPoints(at)
	var found []pathOn
	for k, a := range ends {
		about := slices.Sorted(index.In(paths.RectOf(at[k]).Grow(far)))
		for _, b := range about {
			if b <= k {
				continue
			}
			if p, ok := w.between(a, ends[b], far); ok {
				found = append(found, p)
			}
		}
		if p, ok := w.ahead(a, far); ok {
			found = append(found, p)
		}
	}
	w.take(found)
}

// take adds ways to the strokes that they start from, the straightest and shortest first.
// No end is used twice.
func (w *welder) take(found []pathOn) {
	slices.SortStableFunc(found, func(a, b pathOn) int { return cmp.Compare(a.cost, b.cost) })
	used := map[strokeEnd]bool{}
	for _, p := range found {
		if used[p.from] || p.to.stroke >= 0 && used[p.to] {
			continue
		}
		used[p.from], used[p.to] = true, p.to.stroke >= 0
		s := w.strokes[p.from.stroke]
		if p.from.last {
			s = append(slices.Clip(s), p.curve)
		} else {
			s = append(paths.Stroke{p.curve}.Reverse(), s...)
		}
		w.strokes[p.from.stroke] = s
		w.box(p.from.stroke)
	}
}

// out returns where a stroke ends, and the direction in which it leaves there.
func (w *welder) out(e strokeEnd) ray {
	s := w.strokes[e.stroke]
	if e.last {
		return ray{at: s.End(), dir: s[len(s)-1].Tangent(1)}
	}
	return ray{at: s.Start(), dir: s[0].Tangent(0).Mul(-1)}
}

// touches reports whether an end lies on another stroke.
func (w *welder) touches(e strokeEnd) bool {
	p := w.out(e).at
	for j, o := range w.strokes {
		if j != e.stroke && len(o) > 0 && w.boxes[j].Contains(p) {
			if _, _, d := near.OnStroke(o, p); d < 1e-6 {
				return true
			}
		}
	}
	return false
}

// between returns the way from one end to another, if a line is to be seen along it.
func (w *welder) between(a, b strokeEnd, far float64) (p pathOn, ok bool) {
	u, v := w.out(a), w.out(b)
	gap := v.at.Sub(u.at)
	d := gap.Len()
	if d < followFrom*w.k.width || d > far || a.stroke == b.stroke && w.strokes[a.stroke].Length() < 3*d {
		return p, false
	}
	bend := max(turn(u.dir, gap), turn(v.dir, gap.Mul(-1)))
	if bend > bent {
		return p, false
	}
	c := paths.Cubic{A: u.at, B: u.at.Add(u.dir.Mul(d / 3)), C: v.at.Add(v.dir.Mul(d / 3)), D: v.at}
	return pathOn{a, b, c, d * (1 + bend)}, w.k.shows(c)
}

// ahead returns the way from an end straight on to the next line, if one is to be seen
// along it.
func (w *welder) ahead(a strokeEnd, far float64) (p pathOn, ok bool) {
	u := w.out(a)
	best, at := far, paths.Point{}
	for j, o := range w.strokes {
		if j == a.stroke || len(o) == 0 || !w.boxes[j].Grow(far).Contains(u.at) {
			continue
		}
		if q, ok := crossing(o, u.at, u.dir, best); ok {
			best, at = q.Dist(u.at), q
		}
	}
	if best == far || best < followFrom*w.k.width {
		return p, false
	}
	l := paths.Line{A: u.at, B: at}
	return pathOn{a, strokeEnd{stroke: -1}, l, 1.3 * best}, w.k.shows(l)
}

// shows reports whether the paper along a curve is darker than at both its sides, all
// along but for short bare pieces. What lies within a width of its ends, or a third of a
// short curve, is ink of the lines that end there, and does not count.
func (k ink) shows(c paths.Curve) bool {
	const step = 0.5
	pts := resample(paths.Stroke{c}.Flatten(0.1), step)
	trim := min(int(k.width/step), len(pts)/3)
	pts = pts[trim : len(pts)-trim]
	// The sums of how dark it is on the curve and at its two sides, up to each place.
	sums := make([][3]float64, len(pts)+1)
	for i, p := range pts {
		side := direction(pts, i, 2, false).Left().Mul(k.width)
		sums[i+1] = [3]float64{
			sums[i][0] + (k.dark(p)+k.dark(p.Add(side.Mul(0.3)))+k.dark(p.Sub(side.Mul(0.3))))/3,
			sums[i][1] + k.dark(p.Add(side.Mul(1.4))),
			sums[i][2] + k.dark(p.Sub(side.Mul(1.4))),
		}
	}
	// rise is how much darker than the sides it is from place i to place j.
	rise := func(i, j int) float64 {
		a, b := sums[i], sums[j]
		return (b[0] - a[0] - max(b[1]-a[1], b[2]-a[2])) / float64(j-i)
	}
	if rise(0, len(pts)) < shown*k.level {
		return false
	}
	window := int(bareWidths * k.width / step)
	for i := 0; i+window <= len(pts); i++ {
		if rise(i, i+window) < shown/2*k.level {
			return false
		}
	}
	return true
}
