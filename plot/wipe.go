package plot

import (
	"weftplot/paths"
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
// the machine has no place for it: parked, out of the way of the cloth.
func wipe(m profiles.Machine, pen string) (paths.Point, []program.Block) {
	if at, ok := m.Wipe(); ok {
		return at, nil
	}
	return m.ParkAt(), []program.Block{{Kind: program.Pause, Text: "wipe the tip of " + pen}}
}
