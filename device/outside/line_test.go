package outside

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"time"
)

// machine is a simulated plotter at the far end of a line.
type machine interface {
	// take takes a byte that has come in.
	take(b byte)
	// next tells when something happens by itself next, +Inf if nothing does.
	next() float64
	// advance lives until t.
	advance(t float64)
	// opened tells that a sender opened the port.
	opened()
	// restart is a supply that failed for a moment.
	restart(penRises bool)
	// alarm is a stop by itself.
	alarm()
	// home is a person who brings the machine to its 0,0.
	home()
	// lost reports whether it counts from another place than it should.
	lost() bool
	body() *mover
	// answers sets where answers go.
	answers(func([]byte))
}

// chance is how likely something happens to a byte or an answer.
type chance struct{ lose, flip, double float64 }

// faults are what goes wrong on a line and at its ends. The zero value is
// nothing; a time of 0 is never.
type faults struct {
	toMachine, fromMachine chance // of each byte
	answers                struct{ lose, late, double float64 }
	lateBy                 float64
	noise                  float64 // bytes a second that nobody sent
	restartAt              float64
	penRises               bool
	alarmAt                float64
	silentFrom             float64
	hangAfter              int // bytes to the machine
	killAt, cancelAt       float64
}

// killed is what ends a sender in mid-job; endless is what ends one that waits
// for ever.
type (
	killed  struct{}
	endless struct{}
)

var errHungUp = errors.New("input/output error")

type timed struct {
	at float64
	b  byte
}

// line is a device.Port to a machine, in simulated time: the clock goes on only
// while the sender reads or writes.
type line struct {
	now, start       float64
	m                machine
	byteTime         float64
	to, back         []timed
	toFree, backFree float64
	f                faults
	rng              *rand.Rand
	calls, sent      int
	answered         int
	hung             bool
	cap              float64
	cancel           func()
	nextNoise        float64
	trace            func(at float64, what string)
}

func openLine(m machine, baud int, f faults, rng *rand.Rand, maxSeconds float64) *line {
	l := &line{m: m, byteTime: 10 / float64(baud), f: f, rng: rng, cap: maxSeconds}
	l.now = m.body().now
	l.start, l.toFree, l.backFree = l.now, l.now, l.now
	m.answers(l.answer)
	m.opened()
	l.nextNoise = math.Inf(1)
	if f.noise > 0 {
		l.nextNoise = l.now + rng.ExpFloat64()/f.noise
	}
	return l
}

func (l *line) say(what string, b []byte) {
	if l.trace != nil {
		l.trace(l.now-l.start, what+strconv.Quote(string(b)))
	}
}

// answer puts an answer of the machine's on its way.
func (l *line) answer(b []byte) {
	t := l.m.body().now
	at := t - l.start
	l.answered++
	switch {
	case l.hung, l.f.silentFrom > 0 && at >= l.f.silentFrom:
		return
	case l.rng.Float64() < l.f.answers.lose:
		l.note(t, "   (an answer is lost) ", b)
		return
	}
	l.note(t, "< ", b)
	n := 1
	if l.rng.Float64() < l.f.answers.double {
		n = 2
	}
	if l.rng.Float64() < l.f.answers.late {
		l.note(t, "   (an answer is late) ", b)
		t += l.f.lateBy
	}
	for range n {
		for _, c := range b {
			l.backFree = math.Max(l.backFree, t) + l.byteTime
			for _, c := range l.spoil(c, l.f.fromMachine, "from the machine") {
				l.back = append(l.back, timed{l.backFree, c})
			}
		}
	}
}

func (l *line) note(t float64, what string, b []byte) {
	if l.trace != nil {
		l.trace(t-l.start, what+strconv.Quote(string(b)))
	}
}

// spoil returns what becomes of a byte on the way.
func (l *line) spoil(c byte, ch chance, way string) []byte {
	if ch == (chance{}) {
		return []byte{c}
	}
	switch r := l.rng.Float64(); {
	case r < ch.lose:
		l.note(l.now, "   (lost "+way+") ", []byte{c})
		return nil
	case r < ch.lose+ch.flip:
		d := c ^ 1<<l.rng.IntN(8)
		l.note(l.now, "   (flipped "+way+") ", []byte{c, d})
		return []byte{d}
	case r < ch.lose+ch.flip+ch.double:
		l.note(l.now, "   (doubled "+way+") ", []byte{c})
		return []byte{c, c}
	}
	return []byte{c}
}

func (l *line) Now() time.Duration { return time.Duration((l.now - l.start) * float64(time.Second)) }
func (l *line) Close() error       { return nil }

// event returns when something happens on the line or at the machine next.
func (l *line) event() float64 {
	e := math.Min(l.m.next(), l.nextNoise)
	if len(l.to) > 0 {
		e = math.Min(e, l.to[0].at)
	}
	if len(l.back) > 0 {
		e = math.Min(e, math.Max(l.back[0].at, l.now))
	}
	for _, at := range []float64{l.f.restartAt, l.f.alarmAt} {
		if at > 0 {
			e = math.Min(e, l.start+at)
		}
	}
	return e
}

// happen lets everything happen until t.
func (l *line) happen(t float64) {
	for _, at := range []float64{l.f.killAt, l.f.cancelAt} {
		if at > 0 && l.start+at > l.now {
			t = math.Min(t, l.start+at)
		}
	}
	for {
		e := math.Inf(1)
		if len(l.to) > 0 {
			e = l.to[0].at
		}
		if l.f.restartAt > 0 {
			e = math.Min(e, l.start+l.f.restartAt)
		}
		if l.f.alarmAt > 0 {
			e = math.Min(e, l.start+l.f.alarmAt)
		}
		e = math.Min(e, l.nextNoise)
		if e > t {
			break
		}
		l.m.advance(e)
		l.now = math.Max(l.now, e)
		l.one(e)
	}
	l.m.advance(t)
	l.now = math.Max(l.now, t)
	l.endings()
}

// one lets the thing happen that is due at e.
func (l *line) one(e float64) {
	switch {
	case l.f.restartAt > 0 && l.start+l.f.restartAt <= e:
		l.f.restartAt = 0
		l.note(e, "   (the machine restarts)", nil)
		l.m.restart(l.f.penRises)
	case l.f.alarmAt > 0 && l.start+l.f.alarmAt <= e:
		l.f.alarmAt = 0
		l.note(e, "   (alarm)", nil)
		l.m.alarm()
	case l.nextNoise <= e:
		l.back = append(l.back, timed{e, byte(l.rng.IntN(256))})
		l.nextNoise = e + l.rng.ExpFloat64()/l.f.noise
	default:
		b := l.to[0].b
		l.to = l.to[1:]
		l.m.take(b)
	}
}

func (l *line) endings() {
	at := l.now - l.start
	if l.f.cancelAt > 0 && at >= l.f.cancelAt && l.cancel != nil {
		l.note(l.now, "   (stopped on request)", nil)
		l.cancel()
		l.cancel = nil
		l.f.cancelAt = 0
	}
	if l.f.killAt > 0 && at >= l.f.killAt {
		panic(killed{})
	}
	l.calls++
	if at > l.cap || l.calls > 4_000_000 {
		panic(endless{})
	}
}

func (l *line) Write(p []byte) (int, error) {
	l.happen(l.now + 1e-6)
	l.say("> ", p)
	for i, c := range p {
		if l.f.hangAfter > 0 && l.sent >= l.f.hangAfter {
			l.hung = true
		}
		if l.hung {
			l.say("   (the line hangs up)", nil)
			return i, fmt.Errorf("write: %w", errHungUp)
		}
		l.sent++
		l.toFree = math.Max(l.toFree, l.now) + l.byteTime
		for _, c := range l.spoil(c, l.f.toMachine, "to the machine") {
			l.to = append(l.to, timed{l.toFree, c})
		}
	}
	return len(p), nil
}

func (l *line) Read(p []byte, wait time.Duration) (int, error) {
	until := l.now + math.Max(wait.Seconds(), 1e-6)
	for {
		if l.hung {
			l.happen(l.now + 1e-6)
			return 0, fmt.Errorf("read: %w", errHungUp)
		}
		n := 0
		for n < len(p) && len(l.back) > 0 && l.back[0].at <= l.now {
			p[n] = l.back[0].b
			l.back = l.back[1:]
			n++
		}
		if n > 0 {
			l.endings()
			return n, nil
		}
		if l.now >= until {
			l.endings()
			return 0, nil
		}
		l.happen(math.Min(until, math.Max(l.event(), l.now+1e-7)))
	}
}

// alone lets the machine go on by itself with what it holds.
func (l *line) alone(seconds float64) {
	t := l.now + seconds
	for len(l.to) > 0 && l.to[0].at <= t {
		l.m.advance(l.to[0].at)
		b := l.to[0].b
		l.to = l.to[1:]
		l.m.take(b)
	}
	l.m.advance(t)
	l.now = t
}
