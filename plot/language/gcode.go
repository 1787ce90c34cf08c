package language

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/plot/gcode"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// gcodeLanguage is RS-274/NGC. The pen goes up and down by the lines of the
// machine's profile.
type gcodeLanguage struct{}

func (gcodeLanguage) Name() profiles.Language { return profiles.GCode }

func (gcodeLanguage) Write(p program.Program, m profiles.Machine) ([]byte, error) {
	return gcode.Write(p, m)
}

func (gcodeLanguage) Read(name string, text []byte, m *profiles.Machine) (program.Program, error) {
	return gcode.Read(name, text, m)
}

// Ready sets mm and absolute positions, which the profile's lines rely on too.
func (gcodeLanguage) Ready(m profiles.Machine) []byte {
	lines := append([]string{"G21", "G90"}, m.Lift.Up...)
	return []byte(strings.Join(lines, "\n") + "\n")
}

func (l gcodeLanguage) PenUp(m profiles.Machine) []byte {
	return append([]byte{'\n'}, l.Ready(m)...)
}

// Raise is nil: a program lowers the pen once a stroke.
func (gcodeLanguage) Raise() []byte { return nil }

func (gcodeLanguage) MoveTo(m profiles.Machine, to paths.Point) ([]byte, paths.Point) {
	k := m.Calib.Scale
	x, y := math.Round(to.X/k[0]*1000)/1000, math.Round(to.Y/k[1]*1000)/1000
	return fmt.Appendf(nil, "G0 X%.3f Y%.3f\n", x, y), paths.Point{X: x * k[0], Y: y * k[1]}
}

// WithoutPen keeps the program's own text, less the lines that lower the pen and
// those that stop for the person. That is believed only when what is left, read
// again, lowers the pen nowhere and goes as far; any other program is written
// anew with travels in place of what it draws.
func (l gcodeLanguage) WithoutPen(p program.Program, text []byte, m profiles.Machine) (program.Program, []byte, error) {
	kept := withoutPenLines(p, text)
	if up, err := l.Read("the program", kept, &m); err == nil && goesAlong(up, p) {
		return up, kept, nil
	}
	return rewrite(l, travelsOnly(p), m)
}

// withoutPenLines takes the lines that lower the pen, and those that pause, out
// of a program.
func withoutPenLines(p program.Program, text []byte) []byte {
	pauses, lowers := map[int]bool{}, map[int]int{} // by line; where the last line of a pen move ends
	for _, b := range p.Blocks {
		switch b.Kind {
		case program.PenDown:
			lowers[b.Line] = b.End
		case program.Pause:
			pauses[b.Line] = true
		}
	}
	var kept bytes.Buffer
	skipTo := 0
	for _, c := range allLines(text) {
		end, down := lowers[c.Line]
		if down {
			skipTo = max(skipTo, end)
		}
		if !down && !pauses[c.Line] && c.End > skipTo {
			kept.Write(text[c.Start:c.End])
		}
	}
	return kept.Bytes()
}

// goesAlong reports whether up keeps the pen up and goes as far as p does.
func goesAlong(up, p program.Program) bool {
	goes, all := program.Total(up), program.Total(p)
	if goes.Strokes > 0 || goes.DrawMM > 0 {
		return false
	}
	const slack = 0.01 // what of the way may go with the lines that lower the pen
	return goes.TravelMM >= (all.DrawMM+all.TravelMM)*(1-slack)-1
}

func (gcodeLanguage) Chunks(text []byte) []Chunk {
	var out []Chunk
	for _, l := range gcode.Lines(string(text)) {
		out = append(out, Chunk{Start: l.Start, End: l.End, Line: l.Number})
	}
	return out
}

// allLines returns every line, with the byte that ends it.
func allLines(text []byte) []Chunk {
	var out []Chunk
	for start, line := 0, 1; start < len(text); line++ {
		end := len(text)
		if i := bytes.IndexByte(text[start:], '\n'); i >= 0 {
			end = start + i + 1
		}
		out = append(out, Chunk{Start: start, End: end, Line: line})
		start = end
	}
	return out
}

func (gcodeLanguage) Heights(p program.Program, text []byte) Heights { return heightsOf(p, text) }

func (gcodeLanguage) Queries() Queries { return Queries{Wait: "G4 P0\n"} }
