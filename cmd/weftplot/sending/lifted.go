package sending

import (
	"bytes"
	"sync/atomic"
	"time"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// liftWatch is a port that tells when a job that is being stopped has sent the
// lift of its pen: where the controller acknowledges lines, when it has taken it,
// since one that was refused or lost is sent again.
type liftWatch struct {
	line.Port
	lift     []byte // the last of what lifts the pen
	accepted []byte // what the controller answers to a line that it has taken
	stopping atomic.Bool
	lifted   func()

	sent    bool // and not taken yet
	since   time.Duration
	partial []byte // of the line that comes in
}

// takenWithin is how long a controller may be waited for that is to take the lift
// before a person who is in a hurry is let go.
const takenWithin = 2 * time.Second

func watchLift(port line.Port, m profiles.Machine, lifted func()) *liftWatch {
	w := &liftWatch{Port: port, lifted: lifted}
	if l, err := language.Of(m.Language); err == nil {
		text := bytes.TrimRight(l.PenUp(m), "\r\n;")
		w.lift = text[bytes.LastIndexAny(text, "\n;")+1:]
	}
	if m.Serial.Flow == profiles.LineAck {
		w.accepted = []byte(m.Serial.Manner.Accepted)
	}
	return w
}

// progress passes a job's progress on, and sees in it that the job is being
// stopped: a lift before that was the program's own.
func (w *liftWatch) progress(next func(device.Progress)) func(device.Progress) {
	return func(p device.Progress) {
		if p.State == device.Stopping {
			w.stopping.Store(true)
		}
		next(p)
	}
}

// Write writes to the port.
func (w *liftWatch) Write(p []byte) (int, error) {
	n, err := w.Port.Write(p)
	if err == nil && w.stopping.Load() && len(w.lift) > 0 && bytes.Contains(p, w.lift) {
		if w.sent, w.since, w.partial = len(w.accepted) > 0, w.Now(), nil; !w.sent {
			w.lifted()
		}
	}
	return n, err
}

// Read reads from the port.
func (w *liftWatch) Read(p []byte, wait time.Duration) (int, error) {
	n, err := w.Port.Read(p, wait)
	if w.sent && (w.takes(p[:n]) || err != nil || w.Now()-w.since > takenWithin) {
		w.sent = false
		w.lifted()
	}
	return n, err
}

// takes reports whether a line has come that acknowledges another.
func (w *liftWatch) takes(b []byte) bool {
	for _, c := range b {
		if c != '\n' && c != '\r' {
			if len(w.partial) <= len(w.accepted) {
				w.partial = append(w.partial, c)
			}
			continue
		}
		if bytes.EqualFold(w.partial, w.accepted) {
			return true
		}
		w.partial = nil
	}
	return false
}
