package plot

import (
	"fmt"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// wipes tells before which strokes of a run its pen is wiped: before each that
// would take it past the length its profile says, counted from the wipe before.
// A stroke is never broken off for it, so that one longer than that is drawn
// whole.
func (r Run) wipes() []bool {
	out := make([]bool, len(r.Strokes))
	every := float64(r.Pen.WipeEvery)
	if every <= 0 {
		return out
	}
	drawn := 0.0
	for i, s := range r.Strokes {
		length := s.Length()
		if drawn > 0 && drawn+length > every {
			out[i], drawn = true, 0
		}
		drawn += length
	}
	return out
}

// Wipes returns how often the pen of the run is wiped.
func (r Run) Wipes() int {
	n := 0
	for _, w := range r.wipes() {
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

// wipeStep tells the person at the frame how the pens of the job are wiped, ""
// where none is.
func (j *Job) wipeStep() string {
	n, pens := 0, ""
	for _, r := range j.Runs {
		if k := r.Wipes(); k > 0 {
			if pens != "" {
				pens += ", "
			}
			pens += fmt.Sprintf("%s %d times, after %.1f m at most", r.Pen.Name, k, float64(r.Pen.WipeEvery)/1000)
			n += k
		}
	}
	if n == 0 {
		return ""
	}
	if at, ok := j.Inputs.Machine.Wipe(); ok {
		return fmt.Sprintf("The tip is wiped between strokes at %.0f mm, %.0f mm on the machine (%s): set a brush or a pad there that the lifted tip touches.", at.X, at.Y, pens)
	}
	return fmt.Sprintf("The program stops between strokes, parked, for the tip to be wiped (%s). The time does not count these stops.", pens)
}
