package profiles

import "fmt"

// ArcForm is how arcs are written in G-code (NISTIR 6556, 3.5.3).
type ArcForm string

const (
	// ByCentre gives the centre of an arc as an offset from its start, in the words I
	// and J. Every controller that draws arcs reads it.
	ByCentre ArcForm = "centre"
	// ByRadius gives the radius, in the word R, wherever the standard calls that good
	// practice, and the centre elsewhere. Programs are shorter by a fifth to a third, and by
	// as much again because they are compact where a profile does not say otherwise.
	ByRadius ArcForm = "radius"
)

// ArcForms are all the forms.
var ArcForms = []ArcForm{ByCentre, ByRadius}

// WaitUnit is what a controller counts the P of a wait, G4, in.
type WaitUnit string

const (
	// InSeconds is what the standard has (NISTIR 6556, 3.5.4).
	InSeconds WaitUnit = "seconds"
	// InMilliseconds is what some controllers have instead (common practice).
	InMilliseconds WaitUnit = "milliseconds"
)

// WaitUnits are all the units of waits.
var WaitUnits = []WaitUnit{InSeconds, InMilliseconds}

// Seconds returns how long a wait of so many units is, in s. No unit at all stands for
// seconds.
func (u WaitUnit) Seconds(p float64) float64 {
	if u == InMilliseconds {
		return p / 1000
	}
	return p
}

// Of returns how many units a wait of so many seconds is.
func (u WaitUnit) Of(seconds float64) float64 {
	if u == InMilliseconds {
		return seconds * 1000
	}
	return seconds
}

// Controller says what a controller of G-code reads, where controllers differ.
type Controller struct {
	Arcs ArcForm `toml:"arcs"`
	// Compact leaves out what the standard lets go and some controllers want: blanks
	// between words and the zero before a decimal point (NISTIR 6556, 3.3.1 and 3.3.2.1).
	// Lines and arcs end where coordinates are short, mostly at tenths of a mm, and bend
	// by short radii, all within the job's tolerance. A curve may also be drawn a tenth
	// slower than it could be, instead of a twentieth, where that saves the word for its
	// feed. Where a profile does not say, that is so with arcs by their radius.
	Compact bool `toml:"compact"`
	// Waits is what the controller counts waits in, those of the pen lines included.
	Waits WaitUnit `toml:"waits"`
}

func (g Controller) validate(c *checker, l Language) {
	oneOf(c, "gcode.arcs", g.Arcs, ArcForms)
	oneOf(c, "gcode.waits", g.Waits, WaitUnits)
	if l != GCode && g.Waits != InSeconds {
		c.fail("gcode.waits", "left out for a language without G-code's waits", fmt.Sprintf("%q", g.Waits))
	}
	if l != GCode && g.Compact {
		c.fail("gcode.compact", "left out for a language without G-code's words", "true")
	}
	if l != GCode && g.Arcs != ByCentre {
		c.fail("gcode.arcs", "left out for a language without G-code's arcs", fmt.Sprintf("%q", g.Arcs))
	}
}
