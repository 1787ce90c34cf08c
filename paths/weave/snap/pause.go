package snap

import "weftplot/paths/cores"

// pause asks now and then whether to go on, and tells how far it is. Once it says stop, what follows is
// of no use to anyone and is ended as soon as can be.
type pause struct {
	stop  func() error // nil: never stop
	steps int
	err   error // of stop
	meter *cores.Meter
}

// asking is how many small steps lie between two questions.
const asking = 64

// step counts a small step, such as a stroke, and reports whether to stop.
func (p *pause) step() bool {
	if p == nil {
		return false
	}
	p.meter.Add(1)
	if p.stop == nil {
		return false
	}
	if p.err == nil && p.steps%asking == 0 {
		p.err = p.stop()
	}
	p.steps++
	return p.err != nil
}

// now asks at once, before a large step, and reports whether to stop.
func (p *pause) now() bool {
	if p == nil || p.stop == nil {
		return false
	}
	if p.err == nil {
		p.err = p.stop()
	}
	return p.err != nil
}
