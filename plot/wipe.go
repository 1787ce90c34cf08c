package plot

import (
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// wipesBefore tells before which strokes a pen is wiped: before each that would
// take it past the length its profile says, counted from the wipe before. A
// stroke is never broken off for it, so one longer than that is drawn whole.
func wipesBefore(strokes []Stroke, pen profiles.Pen) []bool {
	out := make([]bool, len(strokes))
	every := float64(pen.WipeEvery)
	if every <= 0 {
		return out
	}
	drawn := 0.0
	for i, s := range strokes {
		length := s.Length()
		if drawn > 0 && drawn+length > every {
			out[i], drawn = true, 0
		}
		drawn += length
	}
	return out
}

// Wipes returns how often the pen is wiped during the run.
func (r PenRun) Wipes() int {
	n := 0
	for _, w := range wipesBefore(r.Ways, r.Pen) {
		if w {
			n++
		}
	}
	return n
}

// wipe returns where the pen goes to be wiped, and the pause for the person where
// the machine has no place for it: parked, out of the way of the cloth. A machine
// that cannot stop for a person either is a [fault.Error].
func wipe(m profiles.Machine, pen string) (paths.Point, []program.Block, error) {
	if at, ok := m.Wipe(); ok {
		return at, nil, nil
	}
	if m.Language != profiles.GCode && !m.HPGL.NotReady {
		return paths.Point{}, nil, fault.Bad("", "in the machine's profile, give a place to wipe at, wipe_at, or say hpgl.not_ready = true if its manual has the instruction NR; or use a pen without wipe_every",
			"%s is wiped between strokes, and the machine %q is not known to stop for a person", pen, m.Name)
	}
	return m.ParkAt(), []program.Block{{Kind: program.Pause, Text: "wipe the tip of " + pen}}, nil
}
