package jobfolder

import (
	"bytes"
	"regexp"

	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// ended checks that a program which this one wrote has its end. A program of
// another hand may end as it likes: its language asks for no end.
func ended(name string, text []byte, p program.Program) error {
	text = bytes.TrimSpace(text)
	ours, whole := p.Machine != "", gcodeEnd.Match(text)
	if p.Language != string(profiles.GCode) {
		ours, whole = hpglBegin.Match(text), hpglEnd.Match(text)
	}
	if ours && !whole {
		return fault.Bad(name, "prepare the job again, or fetch the whole file", "the program is cut short: it has no end")
	}
	return nil
}

// How programs end: G-code by M2, M30 or a percent sign (RS-274/NGC, NISTIR 6556,
// sections 3.6.1 and 3.4.1), HP-GL by putting the pen away. HP-GL has no room for a name;
// ours is known by how it begins, a line for each instruction.
var (
	gcodeEnd  = regexp.MustCompile(`(?i)(^|\n)[ \t]*(N\d+[ \t]*)?(M0?2|M30|%)[ \t]*$`)
	hpglBegin = regexp.MustCompile(`^IN;\r?\nSP\d+;\r?\n`)
	hpglEnd   = regexp.MustCompile(`(?i)(SP[ \t]*0?|PG[^;]*|IN)[ \t]*;?$`)
)
