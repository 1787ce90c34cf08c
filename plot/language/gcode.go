package language

import (
	"context"
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

func (gcodeLanguage) Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error) {
	return gcode.Write(ctx, p, m)
}

func (gcodeLanguage) WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error) {
	return gcode.WriteTold(ctx, p, m, tell)
}

func (gcodeLanguage) Read(ctx context.Context, name string, text []byte, m *profiles.Machine) (program.Program, error) {
	return gcode.Read(ctx, name, text, m)
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

func (l gcodeLanguage) WithoutPen(p program.Program, m profiles.Machine) (program.Program, []byte, error) {
	return withoutPen(l, p, m)
}

func (gcodeLanguage) Chunks(text []byte) []Chunk {
	var out []Chunk
	for _, l := range gcode.Lines(string(text)) {
		out = append(out, Chunk{Start: l.Start, End: l.End, Line: l.Number})
	}
	return out
}

func (gcodeLanguage) Heights(p program.Program, text []byte) Heights { return heightsOf(p, text) }

func (gcodeLanguage) Queries() Queries { return Queries{Wait: "G4 P0\n"} }
