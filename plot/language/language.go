// Package language writes and reads programs in the languages that plotters
// speak: it picks the package that has the writer or the reader of a language.
// It is not for parts of programs: those are [program.Part]s.
package language

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Write returns the text of p in the machine's language.
func Write(p program.Program, m profiles.Machine) ([]byte, error) {
	switch m.Language {
	case profiles.GCode:
		return gcode.Write(p, m)
	case profiles.HPGL, profiles.HPGL2:
		return hpgl.Write(p, m)
	}
	return nil, fmt.Errorf("there is no writer for the language %q", m.Language)
}

// Read reads a program of any of the languages, ours or not. The machine
// may be nil: then the text alone says what is pen and what is travel. The name
// is for messages.
func Read(name string, data []byte, m *profiles.Machine) (program.Program, error) {
	if len(bytes.TrimSpace(data)) == 0 {
		return program.Program{}, fault.Bad(name, "give an HP-GL or G-code program", "the file is empty")
	}
	if LooksLikeHPGL(data) {
		return hpgl.Read(name, data, m)
	}
	return gcode.Read(name, data, m)
}

// LooksLikeHPGL reports whether a program text is HP-GL rather than G-code: its
// first word is a two-letter instruction or a device control, where a word of
// G-code is one letter and a number.
func LooksLikeHPGL(data []byte) bool {
	for len(data) > 0 {
		data = bytes.TrimLeft(data, " \t\r\n\x03")
		line, rest, _ := bytes.Cut(data, []byte("\n"))
		if after, ok := bytes.CutPrefix(line, []byte(";")); ok {
			// A comment of G-code, or an instruction's end that nothing precedes.
			switch {
			case len(after) > 0 && after[0] == ';':
				data = data[1:]
				continue
			case startsHPGL(after):
				return true
			}
			data = rest
			continue
		}
		return startsHPGL(data)
	}
	return false
}

// startsHPGL reports whether the text begins with an instruction that HP-GL
// programs begin with, or with a device control.
func startsHPGL(data []byte) bool {
	if bytes.HasPrefix(data, []byte("\x1b.")) || bytes.HasPrefix(data, []byte("\x1b%")) {
		return true
	}
	if len(data) < 2 {
		return false
	}
	return slices.Contains(openers, strings.ToUpper(string(data[:2])))
}

var openers = []string{"AA", "AC", "AR", "AT", "BP", "BR", "BZ", "CI", "CO", "CS", "DF", "DI", "DR", "DT", "EA", "ER", "EW", "FS", "FT", "IN",
	"IP", "IR", "IW", "LA", "LB", "LO", "LT", "MC", "MG", "NP", "NR", "PA", "PC", "PD", "PE", "PG", "PM", "PR", "PS", "PT", "PU", "PW",
	"QL", "RA", "RO", "RR", "RT", "SA", "SC", "SI", "SL", "SM", "SP", "SR", "SS", "TR", "UL", "VS", "WG", "WU"}

// UsualMachine names the built-in machine that stands for a language where a
// program names none.
func UsualMachine(l profiles.Language) string {
	switch l {
	case profiles.HPGL:
		return "flatbed-hpgl"
	case profiles.HPGL2:
		return "flatbed-hpgl2"
	}
	return "practice"
}
