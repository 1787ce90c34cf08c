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
// listed points of all loops of a stretch at once, then among all points of one after the
// other, until they hardly move. It returns how often a loop was looked at.
func (l *entryList) refine(tell func(share float64)) (looks int) {
	stretches := make([]entryPass, (len(l.seq)+stretch-1)/stretch)
	for i := range stretches {
		stretches[i].entryList = l
	}
	var done atomic.Int64
	each := func(work func(s *entryPass, first, end int)) {
		for first := range 2 { // those at even places, then those at odd ones
			_ = cores.Each(context.Background(), (len(stretches)+1-first)/2, func(i int) error { // which has no error
				k := 2*i + first
				work(&stretches[k], k*stretch, min(len(l.seq), (k+1)*stretch))
				// How often all are gone over is not known; most take place the first time.
				tell(1 - 1/(1+2*float64(done.Add(1))/float64(len(stretches))))
				return nil
			})
		}
	}
	each((*entryPass).together)
	for range l.passes() {
		each((*entryPass).refine)
		moved := 0.
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
	via   [][]uint8  // by place and point of a row of loops: the point before
	cost  [2][]float64
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
		var best entry
		if l.placed[i] {
			best = l.near(i, way[0], way[1])
		} else {
			best = l.best(i, way[0], way[1])
		}
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

// together chooses among the listed points of loops that follow one another at places first
// up to end, by dynamic programming along the tour.
func (l *entryPass) together(first, end int) {
	for k := first; k < end; {
		if l.f.loop[l.seq[k]>>1] == nil {
			k++
			continue
		}
		row := k
		for k < end && l.f.loop[l.seq[k]>>1] != nil {
			k++
		}
		l.inARow(row, k)
	}
}

// inARow chooses the entries of the loops at places first up to end.
func (l *entryPass) inARow(first, end int) {
	came := []paths.Point{l.before(first)}
	cost, next := append(l.cost[0][:0], 0), l.cost[1]
	for len(l.via) < end-first {
		l.via = append(l.via, nil)
	}
	for k := first; k < end; k++ {
		points := l.f.loop[l.seq[k]>>1]
		via := l.via[k-first][:0]
		next = next[:0]
		for _, p := range points {
			least, from := math.Inf(1), 0
			for i, q := range came {
				if c := cost[i] + l.f.between(q, p); c < least {
					least, from = c, i
				}
			}
			next, via = append(next, least), append(via, uint8(from))
		}
		l.via[k-first] = via
		came, cost, next = points, next, cost
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
		best = int(l.via[k-first][best])
	}
	l.cost = [2][]float64{cost, next}
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
		n := partsOf(c)
		far := 0.5 / float64(n) * fastest(c)
		w := newWalk(c)
		for k := range n {
			m := w.point((float64(k) + 0.5) / float64(n))
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

// partsOf returns into how many equal parts, by parameter, a curve is divided.
func partsOf(c paths.Curve) int {
	if _, ok := c.(paths.Line); ok {
		return 1
	}
	return 8
}

// near returns the point of closed stroke i on the shortest way from p to q that is found
// from where it is entered now, as long as the way gets shorter: the ways between which it
// was entered last were nearly the same, and what is best on the whole stroke moved as little.
func (l *entryPass) near(i int, p, q paths.Point) entry {
	if l.f.cost != nil {
		return l.best(i, p, q)
	}
	stroke, at := l.strokes[i], l.at[i]
	j := at.curve
	w, n := newWalk(stroke[j]), partsOf(stroke[j])
	k := min(n-1, int(at.t*float64(n)))
	slope := func(t float64) float64 { return w.slope(t, p, q) }
	came := 0 // 1 where the part before was left at its end, -1 where the next was at its start
	for range mostEntered {
		a, b := float64(k)/float64(n), float64(k+1)/float64(n)
		fa, fb := slope(a), slope(b)
		switch {
		case fa < 0 && fb > 0:
			t := root(slope, a, b, fa, fb)
			return entry{j, t, stroke[j].At(t)}
		case fa >= 0 && came > 0:
			return entry{j, a, stroke[j].At(a)}
		case fa < 0 && came < 0:
			return entry{j, b, stroke[j].At(b)}
		case fa >= 0:
			came = -1
		default:
			came = 1
		}
		if k += came; k < 0 || k == n {
			j = round(j+came, len(stroke))
			w, n = newWalk(stroke[j]), partsOf(stroke[j])
			if k = 0; came < 0 {
				k = n - 1
			}
		}
	}
	return l.best(i, p, q)
}

// mostEntered is over how many parts of a stroke its entry moves at most before all of them
// are looked at again.
const mostEntered = 16
