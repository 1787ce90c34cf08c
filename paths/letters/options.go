package letters

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Align says how the lines of a text are aligned.
type Align int

const (
	// Left begins all lines in one channel.
	Left Align = iota
	// Centre puts the middles of the lines over one another, to half a channel.
	Centre
	// Right ends all lines in one channel.
	Right
)

var alignNames = []string{"left", "centre", "right"}

// String returns "left", "centre" or "right".
func (a Align) String() string { return alignNames[a] }

// ParseAlign reads the name of an alignment. The error is a [fault.Error].
func ParseAlign(s string) (Align, error) {
	for i, name := range alignNames {
		if s == name {
			return Align(i), nil
		}
	}
	return 0, fault.Bad("", "write left, centre or right", "%q is no alignment", s)
}

// Options say how a text is set. Height and Grid are required.
type Options struct {
	// Alphabet is plain unless given.
	Alphabet Alphabet
	// Height is the height of a capital in rows: its head lies in channel Height
	// when its foot lies in channel 0.
	Height int
	// Grid is the weave: the pitch each way in mm.
	Grid weave.Grid
	// Said is the system in which the person says lengths, for what is refused.
	Said paths.System
	// Spacing is how many channels are added between any two letters. It may be
	// negative, but no letters come nearer than the least distance.
	Spacing int
	// LineGap is how many rows are left empty between the lowest stroke of a
	// line and the highest of the next; 0 is a quarter of the height, at least
	// 2.
	LineGap int
	// Align says how several lines are aligned.
	Align Align
	// Arc is the radius in mm of the circle that the first base line follows:
	// the letters are outside it, with their feet towards its centre. A
	// negative radius puts the line below the centre, with its letters inside
	// the circle. Letters on an arc are turned and do not lie on the weave. 0
	// is a straight line.
	Arc float64
	// Most is the greatest width in channels; 0 means no limit.
	Most int
}

// maxSpacing bounds Spacing and LineGap, in channels.
const maxSpacing = 1000

// check refuses options that no text can be set with.
func (o Options) check() error {
	if err := o.Alphabet.CheckHeight(o.Height); err != nil {
		return err
	}
	if _, err := weave.NewGrid(o.Grid.Count()); err != nil {
		return err
	}
	if o.Spacing < -maxSpacing || o.Spacing > maxSpacing || o.LineGap < 0 || o.LineGap > maxSpacing {
		return fault.Bad("", fmt.Sprintf("give at most %d", maxSpacing), "%d channels between letters, and %d rows between lines, are no spacing", o.Spacing, o.LineGap)
	}
	if math.IsNaN(o.Arc) || math.IsInf(o.Arc, 0) {
		return fault.Bad("", "give the radius of the circle", "an arc of %g mm is not possible", o.Arc)
	}
	return nil
}
