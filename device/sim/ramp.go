package sim

import (
	"math"
)

// ramp is the motion of a task from some moment on: from a place along the task
// it speeds up to a peak, cruises, and slows down. A wait is a ramp without
// length.
type ramp struct {
	start         float64 // s
	from, len     float64 // mm along the task, and mm to go
	in, peak, out float64 // mm/s
	accel         float64
	wait          float64 // s, for a task that is not a move
}

func (r ramp) up() float64     { return (r.peak - r.in) / r.accel }
func (r ramp) down() float64   { return (r.peak - r.out) / r.accel }
func (r ramp) cruise() float64 { return max(0, r.len-r.ramps()) / r.peak }

// ramps returns the length of the two ramps.
func (r ramp) ramps() float64 {
	return (2*r.peak*r.peak - r.in*r.in - r.out*r.out) / (2 * r.accel)
}

// end returns when the ramp is done.
func (r ramp) end() float64 {
	if r.wait > 0 || r.peak == 0 {
		return r.start + r.wait
	}
	return r.start + r.up() + r.cruise() + r.down()
}

// speed returns the speed at time t.
func (r ramp) speed(t float64) float64 {
	if r.peak == 0 {
		return 0
	}
	switch {
	case t >= r.end():
		return r.out
	case t < r.start+r.up():
		return r.in + r.accel*(t-r.start)
	case t > r.end()-r.down():
		return r.out + r.accel*(r.end()-t)
	}
	return r.peak
}

// place returns how far along the task the pen is at time t, mm.
func (r ramp) place(t float64) float64 {
	if r.peak == 0 {
		return r.from
	}
	dt, left := t-r.start, r.end()-t
	switch {
	case left <= 0:
		return r.from + r.len
	case dt < r.up():
		return r.from + r.in*dt + r.accel*dt*dt/2
	case left < r.down():
		return r.from + r.len - r.out*left - r.accel*left*left/2
	}
	return r.from + (r.peak*r.peak-r.in*r.in)/(2*r.accel) + r.peak*(dt-r.up())
}

// replan plans the rest of the task under way, given what is queued behind it.
// It is the textbook planner: a pass backward from rest at the end of the chain
// of moves gives the speed at which the first may be left.
func (g *gantry) replan() {
	first := g.queue[0]
	if first.curve == nil {
		if g.ramp.wait == 0 {
			g.ramp.wait = first.wait
		}
		return
	}
	a := g.lim.Accel
	from, v := g.ramp.place(g.now), g.ramp.speed(g.now)
	r := ramp{start: g.now, from: from, len: max(0, first.len-from), in: v, accel: a}
	if g.stopping {
		g.ramp = braking(r)
		return
	}
	// Except for rounding, the present speed can always be braked in time.
	r.out = min(g.leave(), math.Sqrt(v*v+2*a*r.len))
	r.out = max(r.out, math.Sqrt(max(0, v*v-2*a*r.len)))
	r.peak = min(first.limit, math.Sqrt((2*a*r.len+r.in*r.in+r.out*r.out)/2))
	r.peak = max(r.peak, r.in, r.out)
	g.ramp = r
}

// braking makes r stop as soon as possible, or leave its task still braking.
func braking(r ramp) ramp {
	r.peak = r.in
	if stop := r.in * r.in / (2 * r.accel); stop < r.len {
		r.len, r.out = stop, 0
	} else {
		r.out = math.Sqrt(max(0, r.in*r.in-2*r.accel*r.len))
	}
	return r
}

// leave returns the greatest speed at the end of the first task at which all
// queued tasks keep their limits and the last one ends at rest.
func (g *gantry) leave() float64 {
	n := 1
	for n < len(g.queue) && g.queue[n].curve != nil {
		n++
	}
	out := 0.0
	for i := n - 1; i > 0; i-- {
		before, t := &g.queue[i-1], &g.queue[i]
		out = math.Sqrt(out*out + 2*g.lim.Accel*t.len)
		out = min(out, before.limit, t.limit, g.corner(before, t))
	}
	return out
}

// corner returns the greatest speed at which one move may follow another.
func (g *gantry) corner(a, b *task) float64 {
	jump := b.curve.Tangent(0).Sub(a.curve.Tangent(1)).Len()
	if jump < 1e-6 {
		return math.Inf(1)
	}
	return g.lim.Corner / jump
}
