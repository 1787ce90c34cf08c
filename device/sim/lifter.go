package sim

import (
	"weftplot/profiles"
)

// lifter decides whether the pen is up or down: by the height of Z, by the
// spindle word, or by the spindle speed. It learns which by running the lift
// lines of the machine's profile.
type lifter struct {
	up, down actuator
	// upTime and downTime are how long the pen takes to move, and grace how
	// long the lines that lower it dwell.
	upTime, downTime, grace float64
}

func newLifter(m profiles.Machine) lifter {
	var l lifter
	var dwell float64
	s := newState(m.GCode.Waits)
	s.feed = 1
	l.up, dwell = s.runAll(m.Lift.Up)
	l.upTime = max(0, float64(m.Lift.UpTime)-dwell)
	l.down, l.grace = s.runAll(m.Lift.Down)
	l.downTime = max(0, float64(m.Lift.DownTime)-l.grace)
	return l
}

// runAll runs lines and returns the state of the actuator after them and how
// long they dwell.
func (s *state) runAll(lines []string) (actuator, float64) {
	var dwell float64
	for _, line := range lines {
		steps, _ := s.run(line)
		for _, st := range steps {
			dwell += st.dwell
		}
	}
	return s.act, dwell
}

// isDown reports whether the pen is on the cloth with the actuator in state a:
// from half way down it is.
func (l lifter) isDown(a actuator) bool {
	switch {
	case l.up.z != l.down.z:
		return nearer(a.z, l.down.z, l.up.z)
	case l.up.spindle != l.down.spindle:
		return a.spindle == l.down.spindle
	}
	return nearer(a.speed, l.down.speed, l.up.speed)
}

// nearer reports whether v lies on a's side of the middle between a and b, or
// on the middle.
func nearer(v, a, b float64) bool { return (v-(a+b)/2)*(a-b) >= 0 && a != b }
