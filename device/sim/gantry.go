package sim

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/motion"
)

// gantry is the mechanics of a plotter: it runs through a queue of tasks with
// look-ahead over what is queued, and draws on the cloth. Times are s since the
// plotter was switched on.
type gantry struct {
	lim    motion.Limits
	depth  int     // tasks the queue holds
	turned float64 // how many times the feed that it was told it draws with

	now   float64
	queue []task // the first is under way unless the gantry is held
	ramp  ramp   // the motion of the first task, as last planned
	// grace is how long the pen may rest after it is lowered: some programs
	// wait for the pen with a dwell.
	grace float64

	at       paths.Point // where the pen is, when nothing moves
	down     bool
	stopping bool    // slowing down to a hold
	held     bool    // at rest within a task
	still    float64 // when the lowered pen came to rest, +Inf when it is not at rest
	cloth    Cloth
}

// task is one thing that the gantry does: a move when curve is set, otherwise a
// wait, which for a pen move ends with the pen down or up.
type task struct {
	curve paths.Curve
	len   float64
	limit float64 // mm/s
	wait  float64 // s
	pen   penMove
}

type penMove int

const (
	penStays penMove = iota
	penLifts
	penDrops
)

func newGantry(lim motion.Limits, depth int) *gantry {
	return &gantry{lim: lim, depth: depth, turned: 1, still: math.Inf(1), cloth: Cloth{Reach: paths.EmptyRect()}}
}

// full reports whether the queue has no more room.
func (g *gantry) full() bool { return len(g.queue) >= g.depth }

// idle reports whether nothing is left to do.
func (g *gantry) idle() bool { return len(g.queue) == 0 }

// drawAt returns the feed that it draws with when told to draw at feed mm/s.
func (g *gantry) drawAt(feed float64) float64 { return g.turned * min(feed, g.lim.Draw) }

// move queues a move along c at no more than feed mm/s.
func (g *gantry) move(c paths.Curve, feed float64) {
	limit := min(feed, g.lim.OnAxes(c))
	if a, ok := c.(paths.Arc); ok {
		limit = min(limit, math.Sqrt(g.lim.Accel*a.Radius()))
	}
	if n := c.Length(); n > 0 {
		if g.down && len(g.queue) == 0 && len(g.cloth.open) > 0 {
			g.cloth.Underruns++
		}
		g.push(task{curve: c, len: n, limit: limit})
	}
}

// pen queues a move of the pen, unless the pen will be there already.
func (g *gantry) pen(down bool, seconds float64) {
	if down == g.downAtEnd() {
		return
	}
	p := penLifts
	if down {
		p = penDrops
	}
	g.push(task{wait: seconds, pen: p})
}

// dwell queues a wait.
func (g *gantry) dwell(seconds float64) { g.push(task{wait: seconds}) }

// downAtEnd returns whether the pen will be down once the queue is done.
func (g *gantry) downAtEnd() bool {
	for i := len(g.queue) - 1; i >= 0; i-- {
		if p := g.queue[i].pen; p != penStays {
			return p == penDrops
		}
	}
	return g.down
}

func (g *gantry) push(t task) {
	g.queue = append(g.queue, t)
	if len(g.queue) == 1 {
		g.begin(0)
		return
	}
	if !g.held {
		g.replan()
	}
}

// next returns when the task under way will be done, +Inf if none is.
func (g *gantry) next() float64 {
	if g.held || len(g.queue) == 0 {
		return math.Inf(1)
	}
	return g.ramp.end()
}

// advanceTo lets time pass until t, and calls each whenever a task has ended.
func (g *gantry) advanceTo(t float64, each func()) {
	for g.next() <= t {
		g.advance(g.next())
		each()
	}
	g.advance(t)
}

// advance lets time pass until t, which is not after next.
func (g *gantry) advance(t float64) {
	g.now = max(g.now, t)
	if g.held || len(g.queue) == 0 || g.ramp.end() > t {
		return
	}
	if g.stopping && g.ramp.speed(t) < tiny && g.queue[0].curve != nil && g.ramp.from+g.ramp.len < g.queue[0].len {
		g.held, g.stopping = true, false
		g.ramp = ramp{start: t, from: g.ramp.from + g.ramp.len}
		g.rest()
		return
	}
	g.finish(g.ramp.out)
}

const tiny = 1e-9

// finish completes the task under way, left at speed v, and begins the next.
func (g *gantry) finish(v float64) {
	t := g.queue[0]
	g.queue = g.queue[1:]
	switch {
	case t.curve != nil:
		g.draw(t.curve)
		g.at = t.curve.End()
	case t.pen == penLifts:
		g.lifted()
	case t.pen == penDrops:
		g.down = true
		g.cloth.touch(g.at)
		g.rest()
	}
	if v < tiny && g.down && t.curve != nil {
		g.rest()
	}
	if len(g.queue) > 0 {
		g.begin(v)
	} else if g.stopping {
		g.stopping = false
	}
}

// begin starts the first task at speed v.
func (g *gantry) begin(v float64) {
	t := &g.queue[0]
	if g.stopping && v < tiny {
		g.stopping, g.held = false, true
		g.ramp = ramp{start: g.now}
		return
	}
	if t.curve != nil || t.pen == penLifts {
		g.moving()
	}
	g.ramp = ramp{start: g.now, in: v, peak: v, out: v, accel: g.lim.Accel}
	g.replan()
}

// draw draws c on the cloth if the pen is down, or records it as travel.
func (g *gantry) draw(c paths.Curve) {
	if g.down {
		g.cloth.draw(c)
	} else {
		g.cloth.travel(c)
	}
	g.cloth.Reach = g.cloth.Reach.Union(c.Bounds())
}

func (g *gantry) lifted() {
	g.down = false
	g.cloth.lift()
}

// rest records that the pen rests from now on; moving records that it no longer
// does.
func (g *gantry) rest() {
	if g.down {
		g.still = g.now
	}
}

func (g *gantry) moving() {
	if g.down && !math.IsInf(g.still, 1) {
		g.cloth.rested(g.now-g.still, g.grace)
	}
	g.still = math.Inf(1)
}

// hold slows down and stops; the pen stays down or up.
func (g *gantry) hold() {
	if g.held || g.stopping || len(g.queue) == 0 {
		return
	}
	g.stopping = true
	g.replan()
}

// resume continues after a hold.
func (g *gantry) resume() {
	g.stopping = false
	if !g.held {
		if len(g.queue) > 0 {
			g.replan()
		}
		return
	}
	g.held = false
	if len(g.queue) > 0 {
		from := g.ramp.from
		g.moving()
		g.ramp = ramp{start: g.now, from: from}
		g.replan()
	}
}

// abandon drops all tasks at once. It reports whether that interrupted a
// motion, so that the machine no longer knows where it is.
func (g *gantry) abandon() (lost bool) {
	if len(g.queue) > 0 && g.queue[0].curve != nil {
		t := g.queue[0]
		s := g.ramp.place(g.now)
		lost = !g.held && g.ramp.speed(g.now) > tiny
		if s > 0 {
			c := t.curve
			if s < t.len {
				c = paths.Sub(c, 0, s/t.len)
			}
			g.at = c.End()
			g.draw(c)
		}
		if lost {
			g.rest()
		}
	}
	g.queue, g.held, g.stopping = nil, false, false
	return lost
}

// place returns where the pen is now.
func (g *gantry) place() paths.Point {
	if len(g.queue) == 0 || g.queue[0].curve == nil {
		return g.at
	}
	return g.queue[0].curve.At(min(1, g.ramp.place(g.now)/g.queue[0].len))
}

// record returns the cloth as it is now, with the pen on it or not.
func (g *gantry) record() Cloth {
	c := g.cloth
	c.Down, c.At = g.down, g.at
	if g.down && !math.IsInf(g.still, 1) {
		c.rested(g.now-g.still, g.grace)
	}
	return c
}
