package sim

import (
	"weftplot/profiles"
)

// lifter knows from a machine's profile what puts its pen up and down: how high
// Z stands, which spindle word holds, or how fast the spindle would turn. It
// finds out by running the profile's own lines.
type lifter struct {
	up, down actuator
	// upTime and downTime are how long the pen itself takes, and grace what
	// the lines that lower it wait by a dwell.
	upTime, downTime, grace float64
}

func newLifter(m profiles.Machine) lifter {
	var l lifter
	var dwell float64
	s := newState()
	s.feed = 1
	l.up, dwell = s.runAll(m.Lift.Up)
	l.upTime = max(0, float64(m.Lift.UpTime)-dwell)
	l.down, l.grace = s.runAll(m.Lift.Down)
	l.downTime = max(0, float64(m.Lift.DownTime)-l.grace)
	return l
}

// runAll runs lines and returns where the actuator is after them and how long
// they dwell.
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

// isDown reports whether an actuator there puts the pen on the cloth: half way
// from the one to the other counts.
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
// in it.
func nearer(v, a, b float64) bool { return (v-(a+b)/2)*(a-b) >= 0 && a != b }
