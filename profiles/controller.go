package profiles

import "fmt"

// ArcForm is how arcs are written in G-code (NISTIR 6556, 3.5.3).
type ArcForm string

const (
	// ByCentre gives the centre of an arc as an offset from its start, in the words I
	// and J. Every controller that draws arcs reads it.
	ByCentre ArcForm = "centre"
	// ByRadius gives the radius, in the word R, wherever the standard calls that good
	// practice, and the centre elsewhere. Programs are shorter by a fifth to a third.
	ByRadius ArcForm = "radius"
)

// ArcForms are all the forms.
var ArcForms = []ArcForm{ByCentre, ByRadius}

// Controller says what a controller of G-code reads, where controllers differ.
type Controller struct {
	Arcs ArcForm `toml:"arcs"`
	// Compact leaves out what the standard lets go and some controllers want: blanks
	// between words and the zero before a decimal point (NISTIR 6556, 3.3.1 and 3.3.2.1).
	// Lines and arcs end where coordinates are short, mostly at tenths of a mm, and bend
	// by short radii, all within the job's tolerance. A curve may also be drawn a tenth
	// slower than it could be, instead of a twentieth, where that saves the word for its
	// feed.
	Compact bool `toml:"compact"`
}

func (g Controller) validate(c *checker, l Language) {
	oneOf(c, "gcode.arcs", g.Arcs, ArcForms)
	if l != GCode && g.Compact {
		c.fail("gcode.compact", "left out for a language without G-code's words", "true")
	}
	if l != GCode && g.Arcs != ByCentre {
		c.fail("gcode.arcs", "left out for a language without G-code's arcs", fmt.Sprintf("%q", g.Arcs))
	}
}
