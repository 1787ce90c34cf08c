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
	if key, err := gcode.CheckPenLines(m.Lift, m.GCode.Waits); err != nil {
		return fault.Bad(file+": "+key, "give lines that lift or lower the pen and wait, and nothing else; the built-in profiles have some", "%v", err)
	}
	return nil
}

// CheckTimes judges the pen times of a machine's profile by its pen lines; see
// [gcode.CheckPenTimes]. The [fault.Error] names file and key. A program can be
// written and sent all the same: only what is foretold of its time is wrong.
func CheckTimes(file string, m profiles.Machine) error {
	if key, why := penTimes(m); why != "" {
		return fault.Bad(file+": "+key, "give the time that the lines take, in seconds", "%s", why)
	}
	return nil
}

// TimesWrong says what [CheckTimes] finds wrong, key and reason, "" if nothing.
func TimesWrong(m profiles.Machine) string {
	key, why := penTimes(m)
	if why == "" {
		return ""
	}
	return key + ": " + why
}

func penTimes(m profiles.Machine) (key, why string) {
	if m.Language != profiles.GCode {
		return "", ""
	}
	key, err := gcode.CheckPenTimes(m.Lift, m.GCode.Waits)
	if err != nil {
		return key, err.Error()
	}
	return "", ""
}
