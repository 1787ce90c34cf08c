package outside

import "math"

// vec is a place of the pen's tip: x, y on the cloth and z above it, mm, as a
// bystander with a rule would measure it, whatever the machine believes.
type vec [3]float64

func (a vec) add(b vec) vec               { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) sub(b vec) vec               { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(k float64) vec         { return vec{a[0] * k, a[1] * k, a[2] * k} }
func (a vec) length() float64             { return math.Sqrt(a[0]*a[0] + a[1]*a[1] + a[2]*a[2]) }
func (a vec) toward(b vec, k float64) vec { return a.add(b.sub(a).times(k)) }

// touch is the height at and below which a tip on a Z axis marks the cloth.
const touch = 0.25

// block is one thing that a mover does: a way, or a wait that may end in the
// pen's going down or up.
type block struct {
	way     []vec
	length  float64
	speed   float64
	seconds float64
	pen     int // +1 lowers, -1 lifts, at the end of the wait
	done    func()
	clip    *box
}

func wayBlock(speed float64, way ...vec) *block {
	b := &block{way: way, speed: speed}
	for i := 1; i < len(way); i++ {
		b.length += way[i].sub(way[i-1]).length()
	}
	return b
}

// at returns the place s mm along a way, and the way from there on.
func (b *block) at(s float64) (vec, []vec) {
	for i := 1; i < len(b.way); i++ {
		d := b.way[i].sub(b.way[i-1]).length()
		if s < d {
			p := b.way[i-1].toward(b.way[i], s/d)
			return p, append([]vec{p}, b.way[i:]...)
		}
		s -= d
	}
	last := b.way[len(b.way)-1]
	return last, []vec{last}
}

func direction(a, b vec) vec {
	d := b.sub(a)
	if l := d.length(); l > 0 {
		return d.times(1 / l)
	}
	return vec{}
}

// ramp is a motion over a length: from v0 with acceleration a to the peak,
// along at it, and with a down to v1. The kinematics are the textbook's
// (references.md, section 10).
type ramp struct{ v0, peak, v1, a, length, t1, t2, t3 float64 }

func ramped(length, v0, v1, most, a float64) ramp {
	r := ramp{v0: v0, v1: v1, a: a, length: length}
	r.peak = math.Min(most, math.Sqrt((2*a*length+v0*v0+v1*v1)/2))
	r.peak = math.Max(r.peak, math.Max(v0, v1))
	r.t1, r.t3 = (r.peak-v0)/a, (r.peak-v1)/a
	rest := length - (2*r.peak*r.peak-v0*v0-v1*v1)/(2*a)
	if rest > 0 && r.peak > 0 {
		r.t2 = rest / r.peak
	}
	return r
}

func (r ramp) time() float64 { return r.t1 + r.t2 + r.t3 }

// state returns the way done and the speed after t seconds.
func (r ramp) state(t float64) (s, v float64) {
	switch {
	case t < r.t1:
		return r.v0*t + r.a*t*t/2, r.v0 + r.a*t
	case t < r.t1+r.t2:
		u := t - r.t1
		return r.v0*r.t1 + r.a*r.t1*r.t1/2 + r.peak*u, r.peak
	case t < r.time():
		u := r.time() - t
		return r.length - (r.v1*u + r.a*u*u/2), r.v1 + r.a*u
	}
	return r.length, r.v1
}

// mover is the moving part of a plotter: a queue of blocks, carried out under a
// limited acceleration with look-ahead over what is queued.
type mover struct {
	now           float64
	at            vec
	down          bool // of a pen without a Z axis
	zpen          bool
	accel, corner float64
	depth         int
	queue         []*block
	running       bool
	began         float64
	ramp          ramp
	v             float64 // speed at the end of the last block
	holding, held bool
	cloth         *cloth
}

func (m *mover) idle() bool { return len(m.queue) == 0 }

func (m *mover) penDown() bool {
	if m.zpen {
		return m.at[2] <= touch
	}
	return m.down
}

func (m *mover) push(b *block) {
	m.queue = append(m.queue, b)
	m.begin()
}

// junction is the fastest that the tip goes round the corner between two blocks.
func (m *mover) junction(a, b *block) float64 {
	if a.length == 0 || b.length == 0 {
		return 0
	}
	n := len(a.way)
	jump := direction(a.way[n-2], a.way[n-1]).sub(direction(b.way[0], b.way[1])).length()
	v := math.Min(a.speed, b.speed)
	if jump*v > m.corner {
		v = m.corner / jump
	}
	return v
}

// exit is how fast the front block may end, so that the pen can still stop at
// the end of what is queued.
func (m *mover) exit() float64 {
	v := 0.0
	for i := len(m.queue) - 1; i > 0; i-- {
		v = math.Min(m.junction(m.queue[i-1], m.queue[i]), math.Sqrt(v*v+2*m.accel*m.queue[i].length))
	}
	return v
}

// begin starts the front block unless one runs.
func (m *mover) begin() {
	if m.running || m.idle() || m.held {
		return
	}
	b := m.queue[0]
	if m.holding && b.length == 0 {
		m.held, m.v = true, 0
		return
	}
	m.running, m.began = true, m.now
	if b.length == 0 {
		m.v = 0
		return
	}
	if m.holding {
		m.slowDown()
		return
	}
	v1 := math.Min(m.exit(), math.Sqrt(m.v*m.v+2*m.accel*b.length))
	m.ramp = ramped(b.length, m.v, v1, b.speed, m.accel)
}

// slowDown lets the front block run out from speed v to a stop, or to its end.
func (m *mover) slowDown() {
	b := m.queue[0]
	stop := m.v * m.v / (2 * m.accel)
	v1 := 0.0
	if stop > b.length {
		v1, stop = math.Sqrt(m.v*m.v-2*m.accel*b.length), b.length
	}
	m.ramp = ramp{v0: m.v, peak: m.v, v1: v1, a: m.accel, length: stop, t3: (m.v - v1) / m.accel}
}

func (m *mover) ends() float64 {
	if !m.running {
		return math.Inf(1)
	}
	if b := m.queue[0]; b.length == 0 {
		return m.began + b.seconds
	}
	return m.began + m.ramp.time()
}

// until lets time pass, to t at most and no further than the end of the front
// block; it reports whether that was reached.
func (m *mover) until(t float64) bool {
	end := m.ends()
	if end > t {
		m.cloth.rest(m.now, t, m.penDown() && !m.moving())
		m.now = math.Max(m.now, t)
		return false
	}
	b := m.queue[0]
	m.cloth.rest(m.now, end, m.penDown() && b.length == 0)
	m.now = end
	m.running = false
	if b.length > 0 {
		m.finishWay(b)
		return true
	}
	m.queue = m.queue[1:]
	if b.pen != 0 {
		m.setDown(b.pen > 0)
	}
	if b.done != nil {
		b.done()
	}
	m.held = m.held || m.holding
	m.begin()
	return true
}

func (m *mover) finishWay(b *block) {
	to, rest := b.at(m.ramp.length)
	full := m.ramp.length >= b.length-1e-9
	m.ink(b, m.ramp.length)
	m.at, m.v = to, m.ramp.v1
	if full {
		m.at = b.way[len(b.way)-1]
		m.queue = m.queue[1:]
		if b.done != nil {
			b.done()
		}
	} else {
		m.replaceFront(b, rest)
	}
	if m.holding && (!full || m.v < 1e-9) {
		m.held, m.v = true, 0
	}
	m.begin()
}

func (m *mover) replaceFront(b *block, rest []vec) {
	left := wayBlock(b.speed, rest...)
	left.done, left.clip = b.done, b.clip
	m.queue[0] = left
}

// ink lays on the cloth what the pen did along the first s mm of a block.
func (m *mover) ink(b *block, s float64) {
	var way []vec
	left := s
	for i := 1; i < len(b.way) && left > 0; i++ {
		d := b.way[i].sub(b.way[i-1]).length()
		if d == 0 {
			continue
		}
		way = append(way[:0], b.way[i-1], b.way[i-1].toward(b.way[i], math.Min(1, left/d)))
		m.inkLine(way[0], way[1], b.clip)
		left -= d
	}
}

func (m *mover) inkLine(a, b vec, clip *box) {
	n := 1
	if m.zpen && a[2] != b[2] {
		n = 40
	}
	for i := range n {
		p, q := a.toward(b, float64(i)/float64(n)), a.toward(b, float64(i+1)/float64(n))
		if m.zpen && p.toward(q, 0.5)[2] > touch || !m.zpen && !m.down {
			m.cloth.lift()
			continue
		}
		m.cloth.line(pt{p[0], p[1]}, pt{q[0], q[1]}, clip)
	}
}

func (m *mover) setDown(down bool) {
	m.down = down
	if !down {
		m.cloth.lift()
	}
}

func (m *mover) moving() bool { return m.running && m.queue[0].length > 0 }

// cut brings what is done of the front block onto the cloth and returns the
// speed; the rest of the block stays in front.
func (m *mover) cut() float64 {
	if !m.moving() {
		return 0
	}
	b := m.queue[0]
	s, v := m.ramp.state(m.now - m.began)
	m.ink(b, s)
	to, rest := b.at(s)
	m.at = to
	m.running = false
	if len(rest) < 2 {
		rest = append(rest, rest[0])
	}
	m.replaceFront(b, rest)
	return v
}

// where returns the place of the tip now.
func (m *mover) where() vec {
	if !m.moving() {
		return m.at
	}
	s, _ := m.ramp.state(m.now - m.began)
	p, _ := m.queue[0].at(s)
	return p
}

// hold brings the pen to a stop; what is queued stays.
func (m *mover) hold() {
	if m.holding {
		return
	}
	m.holding = true
	if !m.running {
		m.held = true
		return
	}
	if m.moving() {
		m.v = m.cut()
		m.begin()
	}
}

func (m *mover) goOn() {
	m.holding, m.held = false, false
	if m.moving() {
		m.v = m.cut()
	}
	m.begin()
}

// drop stops at once and forgets what is queued; it returns the speed at which
// that happened.
func (m *mover) drop() float64 {
	v := m.cut()
	m.queue, m.running, m.holding, m.held, m.v = nil, false, false, false, 0
	return v
}
