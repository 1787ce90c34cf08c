package plot

import "weftplot/profiles"

// The tolerance is shared out among the steps that bend a line, so that what
// they add up to stays within it. A step that a job leaves out, snapping or
// registration, takes no share, and the rest goes to fitting and writing.
const (
	snapShare     = 0.05
	registerShare = 0.05
	roundShare    = 0.2 // positions and centres in G-code, which has arcs
	arcShare      = 0.1 // arcs in the HP-GL languages, where nearly all become chords
	bladeShare    = 0.3 // arcs for a blade, and as much again for its small turns
	// meetShare is not taken off the tolerance: ends closer than this are joined,
	// and a line whose ends meet nothing is not bent.
	meetShare = 0.2
)

// tolerance returns a share of the tolerance in mm.
func (l Laid) tolerance(share float64) float64 { return float64(l.Settings.Tolerance) * share }

// shares returns how far a pen's curves may be bent when they are fitted with
// arcs, and how far the writer may stray from those, in mm.
func (l Laid) shares(p profiles.Pen) (fit, write float64) {
	left := 1.0
	if !l.Settings.NoSnap {
		left -= snapShare
	}
	if len(l.Inputs.Marks) > 0 {
		left -= registerShare
	}
	switch {
	case p.Blade:
		return l.tolerance(bladeShare), l.tolerance(left - 2*bladeShare)
	case l.Inputs.Machine.Language == profiles.GCode:
		return l.tolerance(left - roundShare), l.tolerance(roundShare)
	}
	return l.tolerance(arcShare), l.tolerance(left - arcShare)
}

// Meet is the distance in mm within which ends meet when strokes are joined.
func (l Laid) Meet() float64 { return l.tolerance(meetShare) }
