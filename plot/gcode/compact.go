package gcode

import "strings"

// words returns words of G-code as the machine wants them: with the blanks that make them
// easy to read, or without, where its profile asks for compact programs. Blanks change
// nothing outside comments: NISTIR 6556, 3.3.1.
func (w *writer) words(line string) string {
	if !w.m.GCode.Compact {
		return line
	}
	return strings.Join(strings.Fields(line), "")
}

// number writes n·10^-places as [decimal] does, and in a compact program without the zero
// before the point: by NISTIR 6556, 3.3.2.1, a number has zero or more digits there.
func (w *writer) number(n int64, places int) string {
	s := decimal(n, places)
	if !w.m.GCode.Compact {
		return s
	}
	switch {
	case strings.HasPrefix(s, "0."):
		return s[1:]
	case strings.HasPrefix(s, "-0."):
		return "-" + s[2:]
	}
	return s
}
