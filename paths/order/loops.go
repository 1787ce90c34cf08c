package order

import (
	"math"

	"weftplot/paths"
)

// bestEntry returns where to enter a loop on the way from p to q, and the cost
// of both hops.
func (f *instance) bestEntry(loop int32, p, q paths.Point) (paths.Point, float64) {
	switch {
	case f.cost != nil:
	case f.many:
		return nearestOfMany(f.loop[loop], p, q)
	default:
		return nearestEntry(f.loop[loop], p, q)
	}
	var best paths.Point
	least := math.Inf(1)
	for _, e := range f.loop[loop] {
		if c := f.between(p, e) + f.between(e, q); c < least {
			best, least = e, c
		}
	}
	return best, least
}

// noShorter reports whether every way from p over a loop to q is seen to cost no less than
// some cost: as the straight way does, or where the cost is distance, that over the annulus
// that holds the loop. It takes as few square roots as that takes.
func (f *instance) noShorter(loop int32, p, q *paths.Point, cost float64) bool {
	if f.cost != nil {
		return f.cost(*p, *q) >= cost
	}
	if cost <= 0 {
		return true
	}
	x, y := p.X-q.X, p.Y-q.Y
	if x*x+y*y >= cost*cost {
		return true
	}
	c := &f.hull[loop]
	away := c.away(p)
	return away >= cost || away+c.away(q) >= cost
}

// nearestEntry is bestEntry where the cost is distance. It tries every fourth
// point, and then all those near the best.
func nearestEntry(points []paths.Point, p, q paths.Point) (paths.Point, float64) {
	w := way{p, q}
	const stride = 4
	best, least := w.shortest(points, stride)
	for i, to := best-stride+1, best+stride; i < to; i++ {
		k := round(i, len(points))
		if c := w.over(&points[k]); c < least {
			best, least = k, c
		}
	}
	return points[best], least
}

// nearestOfMany is nearestEntry with half of the tries: every sixth point, or every third or
// each where there are few, and then it closes in on the best. It misses the best point for
// one way in seven, nearestEntry for one in ten. That lengthens tours of 1,000 loops by .3 %,
// but not those of many loops, for which the time saved serves other tries.
func nearestOfMany(points []paths.Point, p, q paths.Point) (paths.Point, float64) {
	w := way{p, q}
	n, stride := len(points), 3
	switch {
	case n >= 2*fewestEntries:
		stride = 6
	case n < fewestEntries/2:
		stride = 1
	}
	best, least := w.shortest(points, stride)
	for step := stride / 3; step > 0; step-- {
		before, after := round(best-step, n), round(best+step, n)
		if c := w.over(&points[before]); c < least {
			best, least = before, c
		}
		if c := w.over(&points[after]); c < least {
			best, least = after, c
		}
	}
	return points[best], least
}

// A way leads from one point to another.
type way struct{ p, q paths.Point }

// over returns how long the way over e is.
func (w *way) over(e *paths.Point) float64 {
	px, py, qx, qy := w.p.X-e.X, w.p.Y-e.Y, w.q.X-e.X, w.q.Y-e.Y
	return math.Sqrt(px*px+py*py) + math.Sqrt(qx*qx+qy*qy)
}

// shortest returns over which of every so many points the way is shortest.
func (w *way) shortest(points []paths.Point, stride int) (best int, least float64) {
	least = math.Inf(1)
	for i := 0; i < len(points); i += stride {
		if c := w.over(&points[i]); c < least {
			best, least = i, c
		}
	}
	return best, least
}

// round returns i on a round of n numbers.
func round(i, n int) int {
	for i < 0 { // more than once round a loop of few points
		i += n
	}
	for i >= n {
		i -= n
	}
	return i
}

// reenter moves the entry of a loop to where it is best and returns the gain.
func (t *tour) reenter(loop int32) float64 {
	p, q := t.pos[t.partner(2*loop)], t.pos[t.partner(2*loop+1)]
	now := t.between(p, t.pos[2*loop]) + t.between(t.pos[2*loop], q)
	best, cost := t.bestEntry(loop, p, q)
	if cost >= now-tiny {
		return 0
	}
	t.enter(loop, best)
	return now - cost
}

// move takes a loop out of the tour, puts it back where that costs least, with
// its best entry, and returns the gain.
func (t *tour) move(loop int32) float64 {
	x := 2 * loop
	if !t.entered(x) {
		x++
	}
	before, after := t.partner(x), t.partner(x^1)
	if before>>1 == after>>1 {
		return 0
	}
	out := t.d(before, x) + t.d(x^1, after) - t.d(before, after)
	var into int32 = -1
	var at paths.Point
	most := tiny
	for _, a := range t.near.of(x) {
		b := t.partner(a)
		if b>>1 == loop || a>>1 == loop {
			continue
		}
		saved := out + t.hops[a].cost
		if t.noShorter(loop, &t.pos[a], &t.pos[b], saved-most) {
			continue
		}
		t.work += len(t.loop[loop])/4 + 4
		e, cost := t.bestEntry(loop, t.pos[a], t.pos[b])
		if gain := saved - cost; gain > most {
			most, into, at = gain, a, e
		}
	}
	if into < 0 {
		return 0
	}
	t.enter(loop, at)
	a, b := into, t.partner(into)
	if t.entered(a) {
		a, b = b, a
	}
	// Forward: before x after ... a b ...; the loop is its own mirror image.
	t.flip(before, x, b, a)       // before a ... after x b
	t.flip(before, a, x^1, after) // before after ... a x b
	return most
}

// lowest returns where between a and b the way from p over the curve to q is shortest, on
// a part of it where its length falls and then rises: on a line it does, on a short bend
// nearly so.
func (f *instance) lowest(c paths.Curve, a, b float64, p, q paths.Point) float64 {
	if f.cost != nil {
		t, _ := narrow(func(t float64) float64 { e := c.At(t); return f.between(p, e) + f.between(e, q) }, a, b)
		return t
	}
	w := newWalk(c)
	slope := func(t float64) float64 { return w.slope(t, p, q) }
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

// A walk follows a curve. Of a cubic and a long arc it keeps what each of their points would
// work out anew.
type walk struct {
	paths.Curve
	kind                 walkKind
	centre               paths.Point // of the arc, or where the cubic begins
	radius, angle, sweep float64
	first, second, third paths.Point // of the cubic: the factors of t, its square and its cube
}

type walkKind int

const (
	asked walkKind = iota // the curve itself is
	alongArc
	alongCubic
)

func newWalk(c paths.Curve) walk {
	switch c := c.(type) {
	case paths.Cubic:
		first, second := c.B.Sub(c.A).Mul(3), c.A.Sub(c.B.Mul(2)).Add(c.C).Mul(3)
		return walk{Curve: c, kind: alongCubic, centre: c.A, first: first, second: second, third: c.D.Sub(c.A).Sub(first).Sub(second)}
	case paths.Arc:
		if math.Abs(c.Sweep) > math.Pi/2 && c.Radius() > 0 {
			return walk{Curve: c, kind: alongArc, centre: c.Centre, radius: c.Radius(), angle: c.From.Sub(c.Centre).Angle(), sweep: c.Sweep}
		}
	}
	return walk{Curve: c}
}

// at returns the point at t and a vector in the direction of travel there: the unit vector,
// but of a cubic the velocity, which may be zero.
func (w *walk) at(t float64) (p, along paths.Point) {
	switch w.kind {
	case alongArc:
		sin, cos := math.Sincos(w.angle + t*w.sweep)
		along = paths.Point{X: -sin, Y: cos}
		if w.sweep < 0 {
			along = along.Mul(-1)
		}
		return paths.Point{X: w.centre.X + w.radius*cos, Y: w.centre.Y + w.radius*sin}, along
	case alongCubic:
		return w.point(t), w.first.Add(w.second.Mul(2 * t)).Add(w.third.Mul(3 * t * t))
	}
	return w.At(t), w.Tangent(t)
}

// point returns the point at t.
func (w *walk) point(t float64) paths.Point {
	switch w.kind {
	case alongArc:
		p, _ := w.at(t)
		return p
	case alongCubic:
		return paths.Point{
			X: w.centre.X + t*(w.first.X+t*(w.second.X+t*w.third.X)),
			Y: w.centre.Y + t*(w.first.Y+t*(w.second.Y+t*w.third.Y)),
		}
	}
	return w.At(t)
}

// slope has the sign of how the way from p over the point at t to q gets longer with t: it
// does by the part of both hops' directions along the curve.
func (w *walk) slope(t float64, p, q paths.Point) float64 {
	e, along := w.at(t)
	return along.Dot(direction(p, e).Add(direction(q, e)))
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
