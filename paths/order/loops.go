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

// leastVia returns a cost that no way from p over a loop to q falls below: that of the
// straight way, or where the cost is distance, that over the annulus that holds the loop.
func (f *instance) leastVia(loop int32, p, q paths.Point) float64 {
	if f.cost != nil {
		return f.cost(p, q)
	}
	c := &f.hull[loop]
	return max(f.between(p, q), c.away(&p)+c.away(&q))
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
		if saved-t.leastVia(loop, t.pos[a], t.pos[b]) <= most {
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
