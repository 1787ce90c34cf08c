package language

import (
	"context"
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/plot/hpgl"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// hpglLanguage is HP-GL or HP-GL/2, by its name.
type hpglLanguage struct{ name profiles.Language }

func (l hpglLanguage) Name() profiles.Language { return l.name }

func (hpglLanguage) Write(ctx context.Context, p program.Program, m profiles.Machine) ([]byte, error) {
	return hpgl.Write(ctx, p, m)
}

func (hpglLanguage) WriteTold(ctx context.Context, p program.Program, m profiles.Machine, tell func(done, total int)) ([]byte, error) {
	return hpgl.WriteTold(ctx, p, m, tell)
}

func (hpglLanguage) Read(ctx context.Context, name string, text []byte, m *profiles.Machine) (program.Program, error) {
	return hpgl.Read(ctx, name, text, m)
}

// Ready ends any scaling and relative moves: 7470A, 2-9.
func (hpglLanguage) Ready(profiles.Machine) []byte { return []byte("IN;PU;") }

// PenUp ends a label first, by ETX, and then any other instruction.
func (hpglLanguage) PenUp(profiles.Machine) []byte { return []byte("\x03;PU;") }

// Raise relies on every coordinate list saying where the pen is.
func (hpglLanguage) Raise() []byte { return []byte("PU;") }

func (hpglLanguage) MoveTo(m profiles.Machine, to paths.Point) ([]byte, paths.Point) {
	units := m.Units()
	u := units.Apply(to)
	u.X, u.Y = math.Round(u.X), math.Round(u.Y)
	back, _ := units.Inverse() // a profile's unit and scale are not 0
	return fmt.Appendf(nil, "PU%.0f,%.0f;", u.X, u.Y), back.Apply(u)
}

func (l hpglLanguage) WithoutPen(p program.Program, m profiles.Machine) (program.Program, []byte, error) {
	return withoutPen(l, p, m)
}

func (hpglLanguage) Chunks(text []byte) []Chunk {
	var out []Chunk
	start := 0
	for _, i := range hpgl.Instructions(text) {
		// Blanks before an instruction go with it.
		out = append(out, Chunk{Start: start, End: i.End, Line: i.Line})
		start = i.End
	}
	return out
}

func (hpglLanguage) Heights(program.Program, []byte) Heights { return nil }

func (hpglLanguage) Queries() Queries {
	return Queries{Place: "OA;", Error: "OE;", Status: "OS;", Window: "OW;"}
}

// Drop is the device control that makes a plotter forget what it holds, after one
// that ends a device control cut short: 7470A, chapter 10.
const Drop = "\x1b.J\x1b.K"

// WholeWindow gives the pen all that it reaches again: 7470A, 2-9.
const WholeWindow = "IW;"

// Window returns the instruction that keeps the pen's ink inside a rectangle in
// plotter units. Outside it the plotter goes on counting and holds the pen up:
// 7470A, 2-9.
func Window(r paths.Rect) string {
	return fmt.Sprintf("IW%.0f,%.0f,%.0f,%.0f;", r.Min.X, r.Min.Y, r.Max.X, r.Max.Y)
}

// OwnsWindow reports whether an HP-GL text sets windows itself, or counts in units
// of its own: then it is to be given none.
func OwnsWindow(text []byte) bool {
	for _, i := range hpgl.Instructions(text) {
		switch strings.ToUpper(string(text[i.Start:min(i.Start+2, i.End)])) {
		case "IW", "SC", "RO", "IP", "IR", "PM":
			return true
		}
	}
	return false
}
