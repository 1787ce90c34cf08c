package device

import (
	"fmt"

	"weftplot/paths"
)

// told is what the places in a controller's reports are worth. Some report one
// and the same place whatever they do.
type told struct {
	first   paths.Point
	any     bool // a place was told
	changed bool // and another one since
	nothing bool // the places tell nothing
}

func (t *told) hear(r reply) {
	switch {
	case !r.hasAt || t.changed:
	case !t.any:
		t.first, t.any = r.at, true
	default:
		t.changed = r.at != t.first
	}
}

// unmoved deals with a machine that is said to stand wrong, while its place has
// never been another than it was at first: its first travel was lost, or its
// reports do not tell where it is. The travel is sent again, pen up; where that
// changes nothing the place is left out of account from there on.
func (l *lineAck) unmoved(off error) error {
	m := l.course.at(l.last)
	if off == nil || l.told.changed || m.down || !m.moved {
		return off
	}
	k := l.job.Machine.Calib.Scale
	for _, line := range []string{fmt.Sprintf("G0 X%.3f Y%.3f", m.at.X/k[0], m.at.Y/k[1]), "G4 P0"} {
		if err := l.put(line, 0, 0); err != nil {
			return err
		}
	}
	if err := l.await(func() bool { return len(l.open) == 0 }); err != nil {
		return err
	}
	if err := l.seeIdle(); err != nil {
		return err
	}
	switch off := l.astray(); {
	case off == nil:
		l.confirm()
	case l.told.changed:
		return off
	default:
		l.told.nothing, l.following = true, false
	}
	return nil
}
