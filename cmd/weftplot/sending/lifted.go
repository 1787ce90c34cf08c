package sending

import (
	"bytes"
	"sync/atomic"

	"weftplot/device"
	"weftplot/device/line"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// liftWatch is a port that tells when a job that is being stopped has written the
// lift of its pen.
type liftWatch struct {
	line.Port
	lift     []byte // the last of what lifts the pen
	stopping atomic.Bool
	lifted   func()
}

func watchLift(port line.Port, m profiles.Machine, lifted func()) *liftWatch {
	w := &liftWatch{Port: port, lifted: lifted}
	if l, err := language.Of(m.Language); err == nil {
		text := bytes.TrimRight(l.PenUp(m), "\r\n;")
		w.lift = text[bytes.LastIndexAny(text, "\n;")+1:]
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
		w.lifted()
	}
	return n, err
}
