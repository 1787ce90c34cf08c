package order

import (
	"context"
	"math"
	"slices"
	"sync/atomic"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// place returns the strokes in the order found, from one point to another,
// each loop entered where it is best of all its points. It tells now and then what share
// of that is done, from 0 to 1.
func place(strokes []paths.Stroke, w *ordering, from, to paths.Point, tell func(share float64)) []Placed {
	n := int32(len(strokes))
	seq := fromHome(w.seq, n)
	loops := entryList{f: w.f, strokes: strokes, seq: seq, from: from, to: to, at: make([]entry, n), ways: make([][2]paths.Point, n), placed: make([]bool, n)}
	loops.refine(tell)
	out := make([]Placed, 0, n)
	for _, e := range seq {
		i := int(e >> 1)
		p := Placed{Index: i, Stroke: strokes[i]}
		switch at := loops.at[i]; {
		case loops.placed[i]:
			p.Stroke = strokes[i].StartingAt(at.curve, at.t)
		case e&1 == 1:
			p.Reversed = true
			p.Stroke = strokes[i].Reverse()
		}
		out = append(out, p)
	}
	return out
}

// fromHome returns the ends of a closed tour in order from home, without home
// itself. The last stroke is the way from park, its first end, to home.
func fromHome(seq []int32, base int32) []int32 {
	k := slices.IndexFunc(seq, func(e int32) bool { return e>>1 == base })
	out := slices.Concat(seq[k+1:], seq[:k])
	if seq[k]&1 == 1 {
		slices.Reverse(out)
		for i := range out {
			out[i] ^= 1
		}
	}
	return out
}

// An entry is a point of a closed stroke.
type entry struct {
	curve int
	t     float64
	paths.Point
}

// entryList holds where the loops of a tour are entered.
type entryList struct {
	f        *instance
	strokes  []paths.Stroke
	seq      []int32
	from, to paths.Point
	at       []entry          // by stroke
	ways     [][2]paths.Point // between what each loop was entered last
	placed   []bool           // whether it was entered
}

// stretch is how many strokes of a tour are looked at one after the other. Stretches that do
// not follow one another are looked at side by side.
const stretch = 1000

// refine finds the best entry of every loop, given the order: first among the
// listed points of all loops at once, then among all points of one after the
// other, until they hardly move. It returns how often a loop was looked at.
func (l *entryList) refine(tell func(share float64)) (looks int) {
	l.together()
	stretches := make([]entryPass, (len(l.seq)+stretch-1)/stretch)
	for i := range stretches {
		stretches[i].entryList = l
	}
	var done atomic.Int64
	for range l.passes() {
		moved := 0.
		for first := range 2 { // those at even places, then those at odd ones
			_ = cores.Each(context.Background(), (len(stretches)+1-first)/2, func(i int) error { // which has no error
				k := 2*i + first
				stretches[k].refine(k*stretch, min(len(l.seq), (k+1)*stretch))
				// How often all are gone over is not known; most take place the first time.
				tell(1 - 1/(1+2*float64(done.Add(1))/float64(len(stretches))))
				return nil
			})
		}
		for i := range stretches {
			moved = max(moved, stretches[i].moved)
		}
		if moved < 1e-6 {
			break
		}
	}
	for i := range stretches {
		looks += stretches[i].looks
	}
	return looks
}

// passes returns how often the tour is gone over at most. Each pass gains about two thirds of
// what the one before did: five leave .02 % of the travel, and the others would take a
// third as long again.
func (l *entryList) passes() int {
	if l.f.many {
		return 5
	}
	return 20
}

// An entryPass is one going over a stretch of the tour.
type entryPass struct {
	*entryList
	looks int        // how often it looked at a loop, in all passes
	moved float64    // how far an entry moved at most in this one, mm
	parts []loopPart // of the loop that is looked at
}

// refine finds the best entries of the loops at places first up to end, one after the other.
func (l *entryPass) refine(first, end int) {
	l.moved = 0
	for k := first; k < end; k++ {
		e := l.seq[k]
		i := int(e >> 1)
		if l.f.loop[i] == nil {
			continue
		}
		way := [2]paths.Point{l.before(k), l.after(k)}
		if l.placed[i] && l.ways[i] == way {
			continue // it is there already
		}
		l.looks++
		best := l.best(i, way[0], way[1])
		stays := l.placed[i] && l.over(best.Point, way) >= l.over(l.at[i].Point, way)-l.worth()
		l.ways[i], l.placed[i] = way, true
		if stays {
			continue // a straight way over a loop meets it twice, and both places are as good
		}
		l.moved = max(l.moved, best.Dist(l.f.pos[e]))
		l.f.pos[e], l.f.pos[e^1] = best.Point, best.Point
		l.at[i] = best
	}
}

// together chooses among the listed points of loops that follow one another, by
// dynamic programming along the tour.
func (l *entryList) together() {
	for k := 0; k < len(l.seq); {
		if l.f.loop[l.seq[k]>>1] == nil {
			k++
			continue
		}
		first := k
		for k < len(l.seq) && l.f.loop[l.seq[k]>>1] != nil {
			k++
		}
		l.inARow(first, k)
	}
}

// inARow chooses the entries of the loops at places first up to end.
func (l *entryList) inARow(first, end int) {
	came := []paths.Point{l.before(first)}
	cost := []float64{0}
	var via [][]int // by place and point: the point before
	for k := first; k < end; k++ {
		points := l.f.loop[l.seq[k]>>1]
		next, from := make([]float64, len(points)), make([]int, len(points))
		for j, p := range points {
			next[j] = math.Inf(1)
			for i, q := range came {
				if c := cost[i] + l.f.between(q, p); c < next[j] {
					next[j], from[j] = c, i
				}
			}
		}
		via = append(via, from)
		came, cost = points, next
	}
	best := 0
	to := l.after(end - 1)
	for j := range came {
		if cost[j]+l.f.between(came[j], to) < cost[best]+l.f.between(came[best], to) {
			best = j
		}
	}
	for k := end - 1; k >= first; k-- {
		e := l.seq[k]
		p := l.f.loop[e>>1][best]
		l.f.pos[e], l.f.pos[e^1] = p, p
		best = via[k-first][best]
	}
}

// worth is how much shorter a way over a loop must become for its entry to move again.
// Along a row of loops the entries creep for ever towards the best ones.
func (l *entryList) worth() float64 {
	if l.f.cost != nil {
		return tiny
	}
	return 1e-4 // mm
}

// over returns the cost of a way over the point e.
func (l *entryList) over(e paths.Point, way [2]paths.Point) float64 {
	return l.f.between(way[0], e) + l.f.between(e, way[1])
}

func (l *entryList) before(k int) paths.Point {
	if k == 0 {
		return l.from
	}
	return l.f.pos[l.seq[k-1]^1]
}

func (l *entryList) after(k int) paths.Point {
	if k+1 == len(l.seq) {
		return l.to
	}
	return l.f.pos[l.seq[k+1]]
}

// best returns the point of closed stroke i on the shortest way from p to q.
func (l *entryPass) best(i int, p, q paths.Point) entry {
	cost := func(e paths.Point) float64 { return l.f.between(p, e) + l.f.between(e, q) }
	l.parts = l.parts[:0]
	cheapest := 0 // the part with the cheapest middle
	for j, c := range l.strokes[i] {
		n := 1
		if _, ok := c.(paths.Line); !ok {
			n = 8
		}
		far := 0.5 / float64(n) * fastest(c)
		w := newWalk(c)
		for k := range n {
			m, _ := w.at((float64(k) + 0.5) / float64(n))
			l.parts = append(l.parts, loopPart{j, k, n, cost(m), far})
			if last := len(l.parts) - 1; l.parts[last].cost < l.parts[cheapest].cost {
				cheapest = last
			}
		}
	}
	var best entry
	least := math.Inf(1)
	// The part with the cheapest middle comes first, since it rules out most others.
	l.parts[0], l.parts[cheapest] = l.parts[cheapest], l.parts[0]
	for _, part := range l.parts {
		if l.f.cost == nil && part.cost-2*part.far > least {
			continue // nothing of it is as near
		}
		c, n := l.strokes[i][part.curve], float64(part.of)
		a, b := float64(part.number)/n, float64(part.number+1)/n
		t := l.f.lowest(c, a, b, p, q)
		e := c.At(t)
		at := cost(e)
		if start := c.At(a); cost(start) <= at {
			t, e, at = a, start, cost(start)
		}
		if at < least {
			best, least = entry{part.curve, t, e}, at
		}
	}
	return best
}

// lowest returns where between a and b the way from p over the curve to q is shortest, on
// a part of it where its length falls and then rises: on a line it does, on a short bend
// nearly so.
func (f *instance) lowest(c paths.Curve, a, b float64, p, q paths.Point) float64 {
	if f.cost != nil {
		t, _ := narrow(func(t float64) float64 { e := c.At(t); return f.between(p, e) + f.between(e, q) }, a, b)
		return t
	}
	// The length falls and rises with the part of both hops' directions along the curve.
	w := newWalk(c)
	slope := func(t float64) float64 {
		e, along := w.at(t)
		return along.Dot(direction(p, e).Add(direction(q, e)))
	}
	fa, fb := slope(a), slope(b)
	if fa >= 0 {
		return a
	}
	if fb <= 0 {
		return b
	}
	return root(slope, a, b, fa, fb)
}

// direction is the unit vector from p to e, or zero where they are one point.
func direction(p, e paths.Point) paths.Point {
	x, y := e.X-p.X, e.Y-p.Y
	d := math.Sqrt(x*x + y*y)
	if d == 0 {
		return paths.Point{}
	}
	return paths.Point{X: x / d, Y: y / d}
}

// A walk follows a curve. Of a long arc it keeps what each of its points would work out
// anew.
type walk struct {
	paths.Curve
	centre        paths.Point
	radius, angle float64
	sweep         float64 // 0 where the curve itself is asked
}

func newWalk(c paths.Curve) walk {
	a, ok := c.(paths.Arc)
	if !ok || math.Abs(a.Sweep) <= math.Pi/2 || a.Radius() == 0 {
		return walk{Curve: c}
	}
	return walk{Curve: c, centre: a.Centre, radius: a.Radius(), angle: a.From.Sub(a.Centre).Angle(), sweep: a.Sweep}
}

// at returns the point at t and the unit direction of travel there.
func (w *walk) at(t float64) (p, along paths.Point) {
	if w.sweep == 0 {
		return w.At(t), w.Tangent(t)
	}
	sin, cos := math.Sincos(w.angle + t*w.sweep)
	along = paths.Point{X: -sin, Y: cos}
	if w.sweep < 0 {
		along = along.Mul(-1)
	}
	return paths.Point{X: w.centre.X + w.radius*cos, Y: w.centre.Y + w.radius*sin}, along
}

// root returns where f, which is fa < 0 at a and fb > 0 at b, is zero, by false position
// with the weight of an end that stays halved (Dowell and Jarratt, BIT 11, 1971).
func root(f func(float64) float64, a, b, fa, fb float64) float64 {
	t := a
	for range 60 {
		last := t
		t = min(b, max(a, (a*fb-b*fa)/(fb-fa)))
		ft := f(t)
		switch {
		case math.Abs(t-last) < 1e-12 || ft == 0:
			return t
		case ft < 0:
			if last == a {
				fb /= 2
			}
			a, fa = t, ft
		default:
			if last == b {
				fa /= 2
			}
			b, fb = t, ft
		}
	}
	return t
}

// A loopPart is one of the equal parts, by parameter, of a curve of a loop.
type loopPart struct {
	curve, number, of int
	cost              float64 // of the way over its middle
	far               float64 // no point of it is farther from the middle, mm
}

// fastest returns a bound on how fast a curve moves with its parameter, in mm: of
// a cubic three times the longest side of its control polygon.
func fastest(c paths.Curve) float64 {
	if c, ok := c.(paths.Cubic); ok {
		return 3 * max(c.A.Dist(c.B), c.B.Dist(c.C), c.C.Dist(c.D))
	}
	return c.Length()
}

// narrow returns the least value of f between a and b and where it is, by
// golden section, for an f that falls and then rises.
func narrow(f func(float64) float64, a, b float64) (at, least float64) {
	const g = 0.6180339887498949
	x, y := b-g*(b-a), a+g*(b-a)
	fx, fy := f(x), f(y)
	for range 60 {
		if b-a <= 1e-12 {
			break
		}
		if fx <= fy {
			b, y, fy = y, x, fx
			x = b - g*(b-a)
			fx = f(x)
		} else {
			a, x, fx = x, y, fy
			y = a + g*(b-a)
			fy = f(y)
		}
	}
	if fx <= fy {
		return x, fx
	}
	return y, fy
}
