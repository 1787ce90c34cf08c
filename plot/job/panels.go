package job

import (
	"weftplot/paths/fault"
)

// defaultLap is how far the parts of a cut stroke go past each other, in mm.
const defaultLap = 2

// LapMM returns how far the two parts of a stroke that is cut go past each other, in mm.
func (s Settings) LapMM() float64 { return float64(or(s.Lap, defaultLap)) }

// validatePanels checks what is said of panels and can be judged by itself.
func (s Settings) validatePanels() error {
	if !s.Panels {
		if s.Lap != 0 {
			return fault.Bad("lap", "have the rug drawn in several loads with [panels], or leave this out", "only a rug that is drawn in several loads has parts that go past each other")
		}
		return nil
	}
	switch {
	case s.IsKit():
		return fault.Bad("panels", "leave out [panels], or [copies] and [names]", "copies are laid whole, each in one load, and no copy is drawn in parts")
	case !s.HasMachine():
		return fault.Bad("panels", "leave it out, and print the pattern in sheets with [print]; or name a [machine]", "a rug is divided for the machine that draws it, and there is none")
	case s.Lay == LaidTurned:
		return fault.Bad("panels", "leave out [panels] or [lay]", "cloth that is moved between loads lies upright: its threads along stay along the machine's y")
	case len(s.At) > 0:
		return fault.Bad("at", "leave it out: the report says for each load where the cloth is to be laid", "a place is for one load, and [panels] has the rug drawn in as many as it needs")
	case s.Lap < 0 || s.Lap > 50:
		return fault.Bad("lap", `give a length up to "50mm"`, "the parts of a line cannot go past each other by %s", s.Lap)
	}
	return nil
}
