package motion

import (
	"math"

	"weftplot/paths"
	"weftplot/plot/program"
)

// piece is a span of time over which one thing happens: a move along a curve at
// one speed limit, or a hold with no length.
type piece struct {
	block int         // the block it belongs to
	curve paths.Curve // its path; nil for a hold
	rest  paths.Point // where a hold is
	len   float64     // mm
	limit float64     // greatest speed, mm/s
	// in, peak and out are the speeds at its start, at its fastest, at its end.
	in, peak, out float64
	start, time   float64 // s
}

// Profile is the planned motion of a whole program: the speed along every move.
// Make one with [Plan].
type Profile struct {
	accel  float64
	pieces []piece
	ends   []float64 // when each block is done
	timing Timing
	downs  []change // the pen's moves, in order
}

// change is an instant at which the pen has come down or gone up.
type change struct {
	at   float64
	down bool
}

// Plan returns the motion of the blocks on a machine with limits l, from rest
// with the pen up. The cost is linear in the number of blocks.
//
// A pen move takes no time when the pen is already there. A pause or a change
// of pen counts as no time either, since it lasts as long as the person at the
// machine takes.
func Plan(blocks []program.Block, l Limits) Profile {
	p := &planner{l: l, blocks: blocks}
	p.out.pieces = make([]piece, 0, len(blocks))
	return p.plan()
}

// plan plans all blocks.
func (p *planner) plan() Profile {
	p.out.accel, p.out.ends = p.l.Accel, make([]float64, len(p.blocks))
	for i, b := range p.blocks {
		switch b.Kind {
		case program.Travel, program.Draw:
			p.move(i, b)
		case program.PenDown:
			p.pen(i, true, p.l.DownTime)
		case program.PenUp:
			p.pen(i, false, p.l.UpTime)
		case program.Dwell:
			p.hold(i, b.Seconds, &p.out.timing.Wait)
		case program.Pause, program.Pen:
			p.stop()
		}
		// Blocks that follow in the same chain are done later; stop sets those.
		p.out.ends[i] = p.now
	}
	p.stop()
	p.settle()
	p.finish()
	return p.out
}

type planner struct {
	l       Limits
	blocks  []program.Block
	out     Profile
	run     int     // first piece of the chain under way
	settled int     // first piece that is not settled
	now     float64 // end of the last finished chain
	at      paths.Point
	down    bool
	// brief lets go of the pieces of each chain once their times are known: of a long
	// program they take more room than its blocks.
	brief bool
}

// move appends the pieces of a travel or a draw to the chain.
func (p *planner) move(i int, b program.Block) {
	if b.Curve == nil {
		return
	}
	p.at = b.Curve.End()
	feed := p.l.feed(b)
	add := func(c paths.Curve, limit float64) {
		if n := c.Length(); n > 0 {
			p.out.pieces = append(p.out.pieces, piece{block: i, curve: c, len: n, limit: min(feed, limit, p.l.OnAxes(c))})
		}
	}
	switch c := b.Curve.(type) {
	case paths.Arc:
		add(c, p.l.onRadius(c.Radius()))
	case paths.Cubic:
		eachSpan(c, func(span paths.Curve, radius float64) { add(span, p.l.onRadius(radius)) })
	default:
		add(c, math.Inf(1))
	}
}

// pen ends the chain and lifts or lowers the pen if it is not there yet.
func (p *planner) pen(i int, down bool, seconds float64) {
	if down == p.down {
		p.stop()
		return
	}
	p.hold(i, seconds, &p.out.timing.Pen)
	p.down = down
	p.out.downs = append(p.out.downs, change{p.now, down})
}

// hold ends the chain and waits.
func (p *planner) hold(i int, seconds float64, sum *float64) {
	p.stop()
	if !(seconds > 0) {
		return
	}
	p.out.pieces = append(p.out.pieces, piece{block: i, rest: p.at, start: p.now, time: seconds})
	p.run = len(p.out.pieces)
	p.now += seconds
	*sum += seconds
}

// stop brings the chain under way to rest: its speeds are planned and its
// pieces get their times.
func (p *planner) stop() {
	run := p.out.pieces[p.run:]
	p.speeds(run)
	for i := range run {
		q := &run[i]
		q.start, q.time = p.now, q.duration(p.l.Accel)
		p.now += q.time
	}
	if p.brief {
		p.settle()
		p.out.pieces, p.settled = p.out.pieces[:0], 0
	}
	p.run = len(p.out.pieces)
}

// speeds finds the speeds at the ends of the pieces of a chain, rest to rest,
// and the peak of each.
func (p *planner) speeds(run []piece) {
	a := p.l.Accel
	for i := len(run) - 1; i >= 0; i-- {
		q := &run[i]
		out := 0.0
		if i+1 < len(run) {
			out = run[i+1].in
		}
		q.in = min(p.entry(run, i), math.Sqrt(out*out+2*a*q.len))
	}
	for i := range run {
		q := &run[i]
		q.out = 0
		if i+1 < len(run) {
			next := &run[i+1]
			next.in = min(next.in, math.Sqrt(q.in*q.in+2*a*q.len))
			q.out = next.in
		}
		q.peak = min(q.limit, math.Sqrt((2*a*q.len+q.in*q.in+q.out*q.out)/2))
		q.peak = max(q.peak, q.in, q.out) // only because of rounding
	}
}

// entry returns the greatest speed where piece i begins.
func (p *planner) entry(run []piece, i int) float64 {
	if i == 0 {
		return 0
	}
	a, b := &run[i-1], &run[i]
	return min(a.limit, b.limit, p.l.atCorner(a.curve.Tangent(1), b.curve.Tangent(0)))
}

// duration returns how long the piece takes: up to the peak, along at it, down
// from it.
func (q piece) duration(a float64) float64 {
	if q.peak == 0 {
		return 0
	}
	return (q.peak-q.in)/a + q.cruise(a)/q.peak + (q.peak-q.out)/a
}

// cruise returns the length travelled at the peak.
func (q piece) cruise(a float64) float64 {
	return max(0, q.len-(2*q.peak*q.peak-q.in*q.in-q.out*q.out)/(2*a))
}

// settle fills in when the blocks of pieces that have their times are done, and how the
// time is divided.
func (p *planner) settle() {
	o := &p.out
	for _, q := range o.pieces[p.settled:] {
		o.ends[q.block] = q.start + q.time
		switch p.blocks[q.block].Kind {
		case program.Draw:
			o.timing.Draw += q.time
		case program.Travel:
			o.timing.Travel += q.time
		}
	}
	p.settled = len(o.pieces)
}

// finish lets no block be done before the one before it: those without length are done
// with that.
func (p *planner) finish() {
	o := &p.out
	for i := range o.ends {
		if i > 0 {
			o.ends[i] = max(o.ends[i], o.ends[i-1])
		}
	}
	o.timing.Total, o.timing.Ends = p.now, o.ends
}
