package scan

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
)

// ray is where a line that can be trusted ends, the direction in which it runs
// out there, and how it bends to the left, in radians a pixel.
type ray struct {
	at, dir paths.Point
	bend    float64
}

// meet returns where the lines of two rays cross, if they do at more than a few
// degrees.
func (r ray) meet(s ray) (paths.Point, bool) {
	c := r.dir.Cross(s.dir)
	if math.Abs(c) < math.Sin(4*degree) {
		return paths.Point{}, false
	}
	return r.at.Add(r.dir.Mul(s.at.Sub(r.at).Cross(s.dir) / c)), true
}

// knot is a place where lines meet: nodes that lie closer than lines can be told
// apart.
type knot struct {
	nodes []int
	arms  []arm
}

// arm is a line that leaves a knot.
type arm struct {
	end
	// keep is how many pixels of it, from the knot, run into other lines.
	keep float64
	// apart is how near to others it then still comes.
	apart float64
	ray
}

// link says how a line goes on at one of its ends.
type link struct {
	// to is the end it goes on from, where goes is true.
	to   end
	goes bool
	// at is the corner in which it does, or else the place on another line where
	// it ends, where fixed is true.
	at    paths.Point
	fixed bool
}

// weaver rebuilds what lies under the thinned lines near junctions, where
// thinning bends and splits them.
type weaver struct {
	g     *graph
	k     ink
	knots []knot
	// lines are the points of each edge that can be trusted, on the middle of the
	// ink; empty for those that are part of a knot.
	lines [][]paths.Point
	links map[end]link
	gone  []bool // edges that are part of a knot
	// knotOf is the knot that each node is in.
	knotOf map[int]int
}

// weave finds the knots of a graph and how lines go through them.
func weave(g *graph, k ink) *weaver {
	w := &weaver{g: g, k: k, links: map[end]link{}, gone: make([]bool, len(g.edges)), lines: make([][]paths.Point, len(g.edges))}
	for i, e := range g.edges {
		w.gone[i] = e.gone
	}
	w.tie(func(i int) bool { return g.edges[i].length() < 1.1*k.width })
	w.measure()
	w.tie(w.crossesFlat)
	for i := range w.knots {
		w.pair(&w.knots[i])
	}
	return w
}

// tie joins the nodes of edges that short tells of into knots, and what were
// knots before.
func (w *weaver) tie(short func(int) bool) {
	parent := make([]int, len(w.g.nodes))
	for i := range parent {
		parent[i] = i
	}
	find := func(i int) int {
		for parent[i] != i {
			i = parent[i]
		}
		return i
	}
	join := func(a, b int) {
		if a, b = find(a), find(b); a != b {
			parent[max(a, b)] = min(a, b)
		}
	}
	for _, k := range w.knots {
		for _, n := range k.nodes {
			join(k.nodes[0], n)
		}
	}
	for i, e := range w.g.edges {
		if !w.gone[i] && !e.isRing() && len(w.g.nodes[e.a].ends) > 1 && len(w.g.nodes[e.b].ends) > 1 && short(i) {
			w.gone[i] = true
			join(e.a, e.b)
		}
	}
	old := w.rays()
	id := map[int]int{}
	w.knots, w.knotOf = nil, map[int]int{}
	for i, n := range w.g.nodes {
		if len(n.ends) < 2 {
			continue
		}
		root := find(i)
		at, ok := id[root]
		if !ok {
			at = len(w.knots)
			id[root] = at
			w.knots = append(w.knots, knot{})
		}
		w.knotOf[i] = at
		k := &w.knots[at]
		k.nodes = append(k.nodes, i)
		for _, e := range n.ends {
			if !w.gone[e.edge] {
				a := old[e]
				a.end = e
				k.arms = append(k.arms, a)
			}
		}
	}
}

// rays returns the arms of all knots by their end.
func (w *weaver) rays() map[end]arm {
	out := map[end]arm{}
	for _, k := range w.knots {
		for _, a := range k.arms {
			out[a.end] = a
		}
	}
	return out
}

// measure trims the arms of each knot to where they are clear of each other,
// refines the lines between, and finds the rays.
func (w *weaver) measure() {
	trims := map[end]float64{}
	reach := map[int]float64{} // of edges that come nearer to others than most
	for i := range w.knots {
		w.clear(&w.knots[i])
		for _, a := range w.knots[i].arms {
			trims[a.end] = a.keep
			if r := 0.7 * a.apart; r < w.k.reach() && (reach[a.edge] == 0 || r < reach[a.edge]) {
				reach[a.edge] = r
			}
		}
	}
	for i, e := range w.g.edges {
		if w.gone[i] {
			continue
		}
		k := w.k
		if r := reach[i]; r > 0 {
			k.most = r
		}
		w.lines[i] = k.line(e, trims[end{i, false}], trims[end{i, true}])
	}
	for i := range w.knots {
		for j := range w.knots[i].arms {
			a := &w.knots[i].arms[j]
			pts := w.lines[a.edge]
			if a.last {
				pts = reversed(pts)
			}
			a.ray = rayOf(pts, w.k.width)
		}
	}
}

// clear finds for each arm of a knot how much of it lies so near to others that
// its ink is not its own: within 1.2 widths, or less where hardly anything of the
// line would then be left.
func (w *weaver) clear(k *knot) {
	most := 12 * w.k.width
	near := make([][]paths.Point, len(k.arms))
	for i, a := range k.arms {
		pts := w.g.from(a.end)
		if e := w.g.edges[a.edge]; w.knotOf[e.a] == w.knotOf[e.b] {
			pts = pts[:len(pts)/2+1] // the other half is another arm
		}
		near[i] = leading(pts, most)
	}
	for i, a := range k.arms {
		length := w.g.edges[a.edge].length()
		for _, apart := range []float64{1.2 * w.k.width, 0.9 * w.k.width, 0.6 * w.k.width} {
			k.arms[i].apart = apart
			k.arms[i].keep = clearOf(near, i, apart, 2*w.k.width)
			if k.arms[i].keep < 0.35*length {
				break
			}
		}
	}
}

// clearOf returns how many pixels of the i-th of several lines that begin at one
// place lie nearer than apart to any other, up to where it is clear for so many
// pixels.
func clearOf(near [][]paths.Point, i int, apart, clear float64) float64 {
	keep, s := apart, 0.0
	for p := 1; p < len(near[i]) && s <= keep+clear; p++ {
		s += near[i][p].Dist(near[i][p-1])
		for j, other := range near {
			if j != i && within(near[i][p], other, apart) {
				keep = max(apart, s)
				break
			}
		}
	}
	return keep
}

// leading returns the points of the first so many pixels of a line.
func leading(pts []paths.Point, length float64) []paths.Point {
	var s float64
	for i := 1; i < len(pts); i++ {
		if s += pts[i].Dist(pts[i-1]); s > length {
			return pts[:i]
		}
	}
	return pts
}

// within reports whether a place is nearer than far to one of the points.
func within(p paths.Point, pts []paths.Point, far float64) bool {
	for _, q := range pts {
		if p.Sub(q).Dot(p.Sub(q)) < far*far {
			return true
		}
	}
	return false
}

// line returns the points of an edge without so many pixels at its ends, on the
// middle of the ink. At free ends half a width is left off. Where hardly
// anything is left it is the middle of what thinning gave.
func (k ink) line(e edge, first, last float64) []paths.Point {
	if e.isRing() {
		return k.refine(e.pts, true)
	}
	length := e.length()
	if first == 0 {
		first = k.width / 2
	}
	if last == 0 {
		last = k.width / 2
	}
	if rest := length - first - last; rest < 0.6*k.width {
		f := (length - min(length, 0.6*k.width)) / max(first+last, 1e-9)
		return cutEnds(e.pts, first*f, last*f)
	}
	// Refined with a little more at the ends, which is then cut off.
	extra := min(k.width/2, first, last)
	pts := k.refine(cutEnds(e.pts, first-extra, last-extra), false)
	return trim(pts, extra)
}

// cutEnds returns a line without so many pixels at its two ends.
func cutEnds(pts []paths.Point, first, last float64) []paths.Point {
	var s, whole float64
	for i := 1; i < len(pts); i++ {
		whole += pts[i].Dist(pts[i-1])
	}
	var out []paths.Point
	for i, p := range pts {
		if i > 0 {
			s += p.Dist(pts[i-1])
		}
		if s >= first && s <= whole-last {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		out = append(out, pts[len(pts)/2])
	}
	return out
}

// rayOf returns the ray at the first of the points, running out of them: along a
// straight line through as many of them as lie on one, or else along a parabola.
func rayOf(pts []paths.Point, width float64) ray {
	if len(pts) < 4 {
		return ray{at: pts[0], dir: pts[0].Sub(pts[len(pts)-1]).Unit()}
	}
	scatter := scatterOf(leading(pts, 24*width), int(3*width))
	for _, reach := range []float64{24, 12, 6} {
		part := leading(pts, reach*width)
		if len(part) < 4 {
			break
		}
		most := 0.05 * width
		if reach == 6 || len(part) == len(pts) && float64(len(pts)) < 6*width {
			most /= 2 // so short a piece of an arc is nearly straight too
		}
		if c, d, off := straightThrough(part); off < most+2.5*scatter {
			d = along(part[0].Sub(part[len(part)-1]), d)
			return ray{at: c.Add(d.Mul(part[0].Sub(c).Dot(d))), dir: d}
		}
	}
	var r ray
	for _, reach := range []float64{4, 3, 2, 1.3} {
		part := leading(pts, reach*width)
		if len(part) < 4 {
			part = pts[:4]
		}
		var off float64
		if r, off = parabola(part); off < 0.02*width+scatter {
			break
		}
	}
	return r
}

// along returns d, or its opposite if that is more along p.
func along(p, d paths.Point) paths.Point {
	if p.Dot(d) < 0 {
		return d.Mul(-1)
	}
	return d
}

// pair decides how the arms of a knot go on: those in line go through, of the
// rest two and two meet in a corner, and a last one ends on what goes through.
func (w *weaver) pair(k *knot) {
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
			if cost, ok := goesOn(k.arms[i].ray, k.arms[j].ray); ok {
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

// goesOn reports whether two arms are one line that goes through, and how much
// it then bends beyond what it did before and does after.
func goesOn(a, b ray) (float64, bool) {
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
func (w *weaver) join(a, b arm, l link) {
	l.goes = true
	l.to = b.end
	w.links[a.end] = l
	l.to = a.end
	w.links[b.end] = l
}

// rest ends the arms that do not go through.
func (w *weaver) rest(k *knot, left []int, through [][2]ray) {
	for len(left) > 0 {
		if len(left) == 1 {
			a := k.arms[left[0]]
			w.links[a.end] = link{at: w.stop(k, a.ray, through), fixed: true}
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
		if !ok || at.Dist(w.middle(k)) > 3*w.k.width {
			at = w.stop(k, a.ray, through)
		}
		if len(k.arms) > 2 && len(through) == 0 {
			at = w.stop(k, a.ray, nil)
		}
		w.join(a, b, link{at: at, fixed: true})
		left = slices.Delete(slices.Delete(left, bj, bj+1), bi, bi+1)
	}
}

// middle returns the mean of the nodes of a knot.
func (w *weaver) middle(k *knot) paths.Point {
	var sum paths.Point
	for _, n := range k.nodes {
		sum = sum.Add(w.g.nodes[n].at)
	}
	return sum.Mul(1 / float64(len(k.nodes)))
}

// stop returns where a ray ends in a knot: on the first line that goes through,
// or where all rays come nearest to each other.
func (w *weaver) stop(k *knot, r ray, through [][2]ray) paths.Point {
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

// meeting returns the place nearest to the lines of all rays of a knot, by least
// squares; the middle of the knot if that is no good.
func (w *weaver) meeting(k *knot) paths.Point {
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

// crosses returns where a ray meets the piece from a to b, and whether it does
// ahead of it.
func (r ray) crosses(a, b paths.Point) (paths.Point, bool) {
	d := b.Sub(a)
	c := r.dir.Cross(d)
	if math.Abs(c) < 1e-9 {
		return paths.Point{}, false
	}
	s := a.Sub(r.at).Cross(d) / c
	t := a.Sub(r.at).Cross(r.dir) / c
	return a.Add(d.Mul(t)), s > 0 && t >= 0 && t <= 1
}

// hermite returns points along the smooth way from one ray to another that comes
// towards it.
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

// trimTip makes a corner of a knot that is an acute tip: two lines that ran into
// each other and then on, as one, to where they meet.
func (w *weaver) trimTip(k *knot) {
	if len(k.arms) != 3 {
		return
	}
	for i, tip := range k.arms {
		far := w.g.nodes[w.g.node(tip.other())]
		if len(far.ends) != 1 || w.g.edges[tip.edge].length() > 6*w.k.width {
			continue
		}
		a, b := k.arms[(i+1)%3], k.arms[(i+2)%3]
		at, ok := a.meet(b.ray)
		if !ok || turn(a.dir, b.dir.Mul(-1)) < 100*degree || at.Dist(far.at) > 0.8*w.k.width {
			continue
		}
		w.gone[tip.edge], w.lines[tip.edge] = true, nil
		w.join(a, b, link{at: at, fixed: true})
		k.arms = nil
		return
	}
}

// crossesFlat reports whether an edge is where two lines that cross at a flat
// angle, or touch, run into one: of the two at each of its ends one is in line
// with each at the other.
func (w *weaver) crossesFlat(id int) bool {
	e := w.g.edges[id]
	if e.length() > 10*w.k.width || e.a == e.b {
		return false
	}
	a, b := w.armsBut(e.a, id), w.armsBut(e.b, id)
	if len(a) != 2 || len(b) != 2 {
		return false
	}
	fits := func(r, s ray) bool {
		gap := s.at.Sub(r.at)
		in, out := turn(r.dir, gap), turn(gap, s.dir.Mul(-1))
		return in < 16*degree && out < 16*degree
	}
	return fits(a[0].ray, b[0].ray) && fits(a[1].ray, b[1].ray) || fits(a[0].ray, b[1].ray) && fits(a[1].ray, b[0].ray)
}

// armsBut returns the arms of the knot that node n is in, without those of edge e.
func (w *weaver) armsBut(n, e int) []arm {
	var out []arm
	for _, a := range w.knots[w.knotOf[n]].arms {
		if a.edge != e {
			out = append(out, a)
		}
	}
	return out
}

// breadth returns the width of most of the lines between half and half of their
// darkness, in pixels.
func (w *weaver) breadth() float64 {
	var list []float64
	for _, pts := range w.lines {
		for i := 5; i < len(pts)-5; i += 10 {
			if b, ok := w.k.breadth(pts[i], direction(pts, i, 5, false).Left()); ok {
				list = append(list, b)
			}
		}
	}
	if len(list) == 0 {
		return w.k.width
	}
	slices.Sort(list)
	return list[len(list)/2]
}
