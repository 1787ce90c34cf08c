package job

import (
	"strings"

	"weftplot/paths/fault"
)

// AtMargin is the place of a line at the margin of the backing, in place of a number of
// rows.
const AtMargin = "margin"

// makingUpHelp says how a line outside the rug is asked for.
const makingUpHelp = `write how many rows of holes outside the rug's edge it lies, such as "12", or "margin"`

// A MakingUpLine is a line round the rug that is drawn for making it up.
type MakingUpLine struct {
	Name     string // hem, fold or cut: the setting, and the layer
	Rows     int    // of holes left empty between it and the rug's edge
	AtMargin bool   // where the backing's margin ends, in place of Rows
}

// MakingUp returns the lines that are asked for outside the rug, from the setting's
// texts, which are "" for none. One that cannot be read is a [fault.Input].
func (s Settings) MakingUp() ([]MakingUpLine, error) {
	var out []MakingUpLine
	for _, k := range []struct{ name, text string }{{"hem", s.Hem}, {"fold", s.Fold}, {"cut", s.Cut}} {
		text := strings.TrimSpace(k.text)
		if text == "" || text == "none" {
			continue
		}
		if text == AtMargin {
			out = append(out, MakingUpLine{Name: k.name, AtMargin: true})
			continue
		}
		rows, ok := rowsOfHoles(text)
		if !ok {
			return nil, fault.Bad(k.name, makingUpHelp, "%q is no place for a line outside the rug", k.text)
		}
		out = append(out, MakingUpLine{Name: k.name, Rows: rows})
	}
	return out, cutIsOutside(out)
}

// cutIsOutside refuses a cutting line that would cut off the hem.
func cutIsOutside(lines []MakingUpLine) error {
	for _, cut := range lines {
		for _, l := range lines {
			if cut.Name == "cut" && l.Name != "cut" && !cut.AtMargin && (l.AtMargin || cut.Rows <= l.Rows) {
				return fault.Bad("cut", "put it farther out", "the cutting line lies no farther out than the line %q", l.Name)
			}
		}
	}
	return nil
}
