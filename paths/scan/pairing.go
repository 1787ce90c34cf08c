package scan

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// pair decides how the arms of a junction continue: those in line pass through it,
// the rest meet in corners, two by two, and one left over ends on a line that passes
// through.
func (w *rebuilder) pair(k *junction) {
	w.trimTip(k)
	left := make([]int, 0, len(k.arms))
	for i := range k.arms {
		left = append(left, i)
	}
	type couple struct {
		i, j int
		cost float64
	}
	var couples []couple
	for i := range k.arms {
		for j := i + 1; j < len(k.arms); j++ {
			if cost, ok := isThrough(k.arms[i].ray, k.arms[j].ray); ok {
				couples = append(couples, couple{i, j, cost})
			}
		}
	}
	slices.SortStableFunc(couples, func(a, b couple) int { return cmp.Compare(a.cost, b.cost) })
	var through [][2]ray
	for _, c := range couples {
		if slices.Contains(left, c.i) && slices.Contains(left, c.j) {
			left = slices.DeleteFunc(left, func(x int) bool { return x == c.i || x == c.j })
			w.join(k.arms[c.i], k.arms[c.j], link{})
			through = append(through, [2]ray{k.arms[c.i].ray, k.arms[c.j].ray})
		}
	}
	w.rest(k, left, through)
}

// isThrough reports whether two arms are one line that passes through the
// junction. It also returns the evidence against that: how much more the line
// turns there than it bends before and after, in radians.
func isThrough(a, b ray) (float64, bool) {
	back := b.dir.Mul(-1)
	gap := b.at.Sub(a.at)
	in, out := turnOf(a.dir, gap), turnOf(gap, back)
	if math.Abs(in) > 60*degree || math.Abs(out) > 60*degree {
		return 0, false
	}
	expect := (a.bend - b.bend) / 2 * gap.Len() * 1.1
	expect = min(90*degree, max(-90*degree, expect))
	cost := math.Abs(in+out-expect) + math.Abs(in-out)/2
	return cost, cost < 45*degree
}

// join links two arms.
func (w *rebuilder) join(a, b arm, l link) {
	l.continues = true
	l.to = b.End
	w.links[a.End] = l
	l.to = a.End
	w.links[b.End] = l
}

// rest ends the arms that do not pass through.
func (w *rebuilder) rest(k *junction, left []int, through [][2]ray) {
	for len(left) > 0 {
		if len(left) == 1 {
			a := k.arms[left[0]]
			w.links[a.End] = link{at: w.stop(k, a.ray, through), fixed: true}
			return
		}
		bi, bj, best := 0, 1, math.Inf(1)
		for i := range left {
			for j := i + 1; j < len(left); j++ {
				if t := turn(k.arms[left[i]].dir, k.arms[left[j]].dir.Mul(-1)); t < best {
					bi, bj, best = i, j, t
				}
			}
		}
		a, b := k.arms[left[bi]], k.arms[left[bj]]
		at, ok := a.meet(b.ray)
		if !ok || at.Dist(w.middle(k)) > 3*w.k.width || !w.k.inked(at) {
			at = w.stop(k, a.ray, through)
		}
		if len(k.arms) > 2 && len(through) == 0 {
			at = w.stop(k, a.ray, nil)
		}
		w.join(a, b, link{at: at, fixed: true})
		left = slices.Delete(slices.Delete(left, bj, bj+1), bi, bi+1)
	}
}

// middle returns the mean of the nodes of a junction.
func (w *rebuilder) middle(k *junction) paths.Point {
	var sum paths.Point
	for _, n := range k.nodes {
		sum = sum.Add(w.g.Nodes[n].At)
	}
	return sum.Mul(1 / float64(len(k.nodes)))
}

// stop returns where a ray ends in a junction: on the first line that passes through,
// or where all rays come nearest to each other.
func (w *rebuilder) stop(k *junction, r ray, through [][2]ray) paths.Point {
	best, found := paths.Point{}, false
	limit := r.at.Dist(w.middle(k)) + 3*w.k.width
	for _, t := range through {
		pts := hermite(t[0], t[1])
		for i := 1; i < len(pts); i++ {
			p, ok := r.crosses(pts[i-1], pts[i])
			if ok && p.Dist(r.at) < limit && (!found || p.Dist(r.at) < best.Dist(r.at)) {
				best, found = p, true
			}
		}
	}
	if found {
		return best
	}
	if len(through) > 0 {
		pts := hermite(through[0][0], through[0][1])
		return pts[nearestOf(w.middle(k), pts)]
	}
	return w.meeting(k)
}

// meeting returns the place nearest to the lines of all rays of a junction, by
// least squares, or the middle of the junction if that place is unusable.
func (w *rebuilder) meeting(k *junction) paths.Point {
	var xx, xy, yy, bx, by float64
	for _, a := range k.arms {
		n := a.dir.Left()
		c := n.Dot(a.at)
		xx, xy, yy = xx+n.X*n.X, xy+n.X*n.Y, yy+n.Y*n.Y
		bx, by = bx+n.X*c, by+n.Y*c
	}
	mid := w.middle(k)
	det := xx*yy - xy*xy
	if det < 0.02 {
		return mid
	}
	p := paths.Point{X: (bx*yy - by*xy) / det, Y: (xx*by - xy*bx) / det}
	if p.Dist(mid) > 2*w.k.width {
		return mid
	}
	return p
}

// hermite returns points along a smooth curve from one ray to another that
// points towards it.
func hermite(a, b ray) []paths.Point {
	l := a.at.Dist(b.at) / 3
	c := paths.Cubic{A: a.at, B: a.at.Add(a.dir.Mul(l)), C: b.at.Add(b.dir.Mul(l)), D: b.at}
	pts := make([]paths.Point, 25)
	for i := range pts {
		pts[i] = c.At(float64(i) / 24)
	}
	return pts
}

// nearestOf returns which of some points is nearest to p.
func nearestOf(p paths.Point, pts []paths.Point) int {
	best := 0
	for i, q := range pts {
		if q.Dist(p) < pts[best].Dist(p) {
			best = i
		}
	}
	return best
}
