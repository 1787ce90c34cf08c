package sim

import (
	"errors"
	"math"
	"time"

	"weftplot/profiles"
)

// Line is a serial line in simulated time with a plotter at its end. It is a
// port for package device: time passes only while something waits in Read, so a
// whole job runs as fast as the computer can, and in the same way every time.
// Bytes take the time of the baud rate in both directions.
type Line struct {
	plotter Plotter
	perByte float64 // s
	latency float64 // additional s that a byte takes, each way
	// accepted is the line with which the plotter acknowledges a line; empty if
	// it does not.
	accepted []byte

	now     float64
	toFree  float64 // when the line to the plotter is free for another byte
	hisFree float64 // and the line back
	to, his []arrival
	hungUp  bool
	faults  *faults
}

// arrival is a byte on its way.
type arrival struct {
	at float64
	b  byte
}

// NewLine returns a line to p at the baud rate of the profile.
func NewLine(p Plotter, s profiles.Serial) *Line {
	l := &Line{plotter: p, perByte: 10 / float64(s.Baud)} // a start and a stop bit around eight
	if s.Flow == profiles.LineAck {
		l.accepted = []byte(s.Manner.Accepted + lineEnd)
	}
	l.collect()
	return l
}

// WithLatency makes every byte take d longer each way, as the adapters and
// drivers between a computer and a plotter do. It returns l.
func (l *Line) WithLatency(d time.Duration) *Line {
	l.latency = d.Seconds()
	return l
}

var errHungUp = errors.New("hung up")

// Now returns the simulated time.
func (l *Line) Now() time.Duration { return time.Duration(l.now * float64(time.Second)) }

// Read lets time pass until bytes have arrived or wait is over.
func (l *Line) Read(p []byte, wait time.Duration) (int, error) {
	until := l.now + wait.Seconds()
	for {
		if l.hungUp {
			return 0, errHungUp
		}
		if n := l.take(p); n > 0 {
			return n, nil
		}
		t := l.Next()
		if t > until {
			l.pass(until)
			return 0, nil
		}
		l.pass(t)
	}
}

// take moves the bytes that have arrived into p.
func (l *Line) take(p []byte) int {
	n := 0
	for n < len(p) && n < len(l.his) && l.his[n].at <= l.now {
		p[n] = l.his[n].b
		n++
	}
	l.his = l.his[n:]
	return n
}

// Write sends bytes to the plotter.
func (l *Line) Write(p []byte) (int, error) {
	if l.hungUp {
		return 0, errHungUp
	}
	for _, b := range p {
		l.toFree = max(l.toFree, l.now) + l.perByte
		l.to = append(l.to, l.faults.down(arrival{l.toFree + l.latency, b})...)
	}
	return len(p), nil
}

// Close hangs up on this side; the plotter continues with what it has.
func (l *Line) Close() error { return nil }

// Settle lets time pass until the plotter has carried out everything it was
// sent, but at most the given seconds.
func (l *Line) Settle(seconds float64) {
	until := l.now + seconds
	for l.now < until {
		t := l.Next()
		if math.IsInf(t, 1) {
			return
		}
		l.pass(min(t, until))
		l.his = nil
	}
}

// Until lets time pass until t and returns the bytes from the plotter that have
// arrived by then.
func (l *Line) Until(t float64) []byte {
	var out []byte
	for {
		for len(l.his) > 0 && l.his[0].at <= l.now {
			out = append(out, l.his[0].b)
			l.his = l.his[1:]
		}
		next := l.Next()
		if next > t {
			l.pass(t)
			return out
		}
		l.pass(next)
	}
}

// Next returns the time at which something happens next, +Inf if nothing does until
// bytes are written.
func (l *Line) Next() float64 {
	t := min(l.plotter.Next(), l.faults.next())
	if len(l.to) > 0 {
		t = min(t, l.to[0].at)
	}
	if len(l.his) > 0 {
		t = min(t, l.his[0].at)
	}
	return t
}

// pass lets time pass until t, not after [Line.Next].
func (l *Line) pass(t float64) {
	l.now = max(l.now, t)
	for len(l.to) > 0 && l.to[0].at <= l.now {
		a := l.to[0]
		l.to = l.to[1:]
		l.plotter.Receive(max(a.at, 0), a.b)
		l.collect()
	}
	l.plotter.Advance(l.now)
	l.faults.strike(l)
	l.collect()
}

// collect puts what the plotter has sent on the line.
func (l *Line) collect() {
	for _, b := range l.faults.answers(l.now, l.plotter.Output(), l.accepted) {
		if l.hungUp {
			break
		}
		l.hisFree = max(l.hisFree, l.now) + l.perByte
		l.his = append(l.his, l.faults.up(arrival{l.hisFree + l.latency, b})...)
	}
}
