package keptcloth

import (
	"time"

	"weftplot/device/line"
	"weftplot/device/sim/live"
)

// Port is a line to the simulated plotter whose cloth is kept.
type Port struct {
	line.Port
	server *live.Server
	cloth  *Cloth
	way    float64 // mm drawn when the cloth was looked at last
}

// Watch returns the port p to the simulated plotter s, whose strokes are kept on
// a cloth.
func Watch(p line.Port, s *live.Server, c *Cloth) *Port { return &Port{Port: p, server: s, cloth: c} }

// Read reads what the machine says. The cloth is kept first, whenever the pen is
// up: what the machine says next may be taken as proof in a journal.
func (w *Port) Read(p []byte, wait time.Duration) (int, error) {
	n, err := w.Port.Read(p, wait)
	if n > 0 && err == nil {
		if now := w.server.Cloth(); !now.Down && now.Drawn != w.way {
			w.way = now.Drawn
			err = w.cloth.Keep(now.Strokes())
		}
	}
	return n, err
}

// Keep writes down all that the simulated plotter has drawn.
func (w *Port) Keep() error { return w.cloth.Keep(w.server.Cloth().Strokes()) }

// Close hangs up. The cloth is kept, a stroke that was left unfinished too.
func (w *Port) Close() error {
	err := w.Port.Close()
	if e := w.Keep(); err == nil {
		err = e
	}
	return err
}
