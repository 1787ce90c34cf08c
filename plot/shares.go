package plot

import "weftplot/profiles"

// The tolerance is shared out among the steps that bend a line, so that what
// they add up to stays within it. A step that a job leaves out, snapping or
// registration, takes no share, and the rest goes to fitting and writing.
const (
	snapShare     = 0.05
	registerShare = 0.05
	roundShare    = 0.2  // positions and centres in G-code, which has arcs
	shortShare    = 0.03 // the same where fitting has chosen short numbers for all but centres
	arcShare      = 0.1  // arcs in the HP-GL languages, where nearly all become chords; the rest is for these and the plotter's unit
	bladeShare    = 0.3  // arcs for a blade, and as much again for its small turns
	coarseBlade   = 0.2  // the same in the HP-GL languages, whose units need the more
	// meetShare is not taken off the tolerance: ends closer than this are joined,
	// and a line whose ends meet nothing is not bent.
	meetShare = 0.2
)

// tolerance returns a share of the tolerance in mm.
func (l Laid) tolerance(share float64) float64 { return float64(l.Settings.Tolerance) * share }

// shares returns how far a pen's curves may be bent when they are fitted with
// arcs, and how far what is written may stray from those, rounding included, in mm.
func (l Laid) shares(p profiles.Pen) (fit, write float64) {
	left, gcode := l.left(), l.Inputs.Machine.Language == profiles.GCode
	switch {
	case p.Blade:
		small := l.bladeShare()
		fit, write = l.tolerance(small), l.tolerance(left-2*small)
	case l.short(p) && l.Inputs.Machine.GCode.Arcs == profiles.ByRadius:
		share := max(shortShare, min(roundShare, 0.0015/l.tolerance(1))) // mm: the least that the writer stays within
		fit, write = l.tolerance(left-share), l.tolerance(share)
	case gcode:
		fit, write = l.tolerance(left-roundShare), l.tolerance(roundShare)
	default:
		fit, write = l.tolerance(arcShare), l.tolerance(left-arcShare)
	}
	if gcode {
		return fit, write
	}
	return fit, max(write, l.finest())
}

// short reports whether what a pen draws is fitted so that its program is short: where
// the profile asks for compact programs, and the machine's own count is that of true mm.
func (l Laid) short(p profiles.Pen) bool {
	m := l.Inputs.Machine
	return m.Language == profiles.GCode && m.GCode.Compact && !p.Blade && m.Calib.Scale == [2]float64{1, 1}
}

// left is what snapping and registration leave of the tolerance, as a share.
func (l Laid) left() float64 {
	left := 1.0
	if !l.Settings.NoSnap {
		left -= snapShare
	}
	if len(l.Inputs.Marks) > 0 {
		left -= registerShare
	}
	return left
}

func (l Laid) bladeShare() float64 {
	if l.Inputs.Machine.Language == profiles.GCode {
		return bladeShare
	}
	return coarseBlade
}

// finest is the least share of writing that leaves room for chords beside the
// rounding of their ends, in mm.
func (l Laid) finest() float64 { return 1.25 * l.Inputs.Machine.Rounding() }

// Stray returns how far what the pen p draws can be from the design at most, in
// mm: the tolerance, unless the machine counts in units too coarse for it.
func (l Laid) Stray(p profiles.Pen) float64 {
	fit, write := l.shares(p)
	if p.Blade {
		fit *= 2
	}
	return fit + write + l.tolerance(1-l.left())
}

// Meet is the distance in mm within which ends meet when strokes are joined.
func (l Laid) Meet() float64 { return l.tolerance(meetShare) }
