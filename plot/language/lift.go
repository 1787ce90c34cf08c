package language

import (
	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/profiles"
)

// ParseMachine is [profiles.ParseMachine] with [CheckLift].
func ParseMachine(file string, data []byte) (profiles.Machine, error) {
	m, err := profiles.ParseMachine(file, data)
	if err != nil {
		return m, err
	}
	return m, CheckLift(file, m)
}

// CheckLift judges the pen lines of a machine's profile, as the reader of its
// language reads them; see [gcode.CheckPenLines]. The [fault.Error] names file and
// key.
func CheckLift(file string, m profiles.Machine) error {
	if m.Language != profiles.GCode {
		return nil
	}
	if key, err := gcode.CheckPenLines(m.Lift); err != nil {
		return fault.Bad(file+": "+key, "give lines that lift or lower the pen and wait, and nothing else; the built-in profiles have some", "%v", err)
	}
	return nil
}
