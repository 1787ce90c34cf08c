package plot

import (
	"bytes"
	"fmt"

	"weftplot/paths"
	"weftplot/plot/gcode"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// WriteProgram returns the text of p in the machine's language.
func WriteProgram(p program.Program, m profiles.Machine) ([]byte, error) {
	switch m.Language {
	case profiles.GCode:
		return gcode.Write(p, m)
	case profiles.HPGL, profiles.HPGL2:
		return hpgl.Write(p, m)
	}
	return nil, fmt.Errorf("there is no writer for the language %q", m.Language)
}

// ReadProgram reads a program of any of the languages, ours or not. The machine
// may be nil: then the text alone says what is pen and what is travel. The name
// is for messages.
func ReadProgram(name string, data []byte, m *profiles.Machine) (program.Program, error) {
	if len(bytes.TrimSpace(data)) == 0 {
		return program.Program{}, paths.Bad(name, "give an HP-GL or G-code program", "the file is empty")
	}
	if LooksLikeHPGL(data) {
		return hpgl.Read(name, data, m)
	}
	return gcode.Read(name, data, m)
}

// LooksLikeHPGL reports whether a program text is HP-GL rather than G-code: its
// first words are two-letter instructions, where a word of G-code is one letter
// and a number.
func LooksLikeHPGL(data []byte) bool {
	for len(data) > 0 {
		data = bytes.TrimLeft(data, " \t\r\n;\x03")
		switch {
		case bytes.HasPrefix(data, []byte("\x1b.")), bytes.HasPrefix(data, []byte("\x1b%")):
			return true // device control, and the way into HP-GL/2
		case len(data) >= 2 && isLetter(data[0]) && isLetter(data[1]):
			return true
		}
		return false
	}
	return false
}

func isLetter(b byte) bool { return 'A' <= b && b <= 'Z' || 'a' <= b && b <= 'z' }

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
