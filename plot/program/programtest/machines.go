package programtest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Machine returns a built-in machine.
func Machine(t testing.TB, name string) profiles.Machine {
	t.Helper()
	m, err := profiles.MachineNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Machines returns the built-in machines that read one of the languages; it
// fails if there are none.
func Machines(t testing.TB, languages ...profiles.Language) []profiles.Machine {
	t.Helper()
	var out []profiles.Machine
	for _, name := range profiles.Names(profiles.MachineKind) {
		if m := Machine(t, name); slices.Contains(languages, m.Language) {
			out = append(out, m)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no machine reads one of %q", languages)
	}
	return out
}

// Codes returns the codes of a program's notes and their lines, in order of
// lines: "label?:2" is a doubt, "far!:3" beyond any machine, "open:4" a harmless note.
func Codes(p program.Program) string {
	type code struct {
		line int
		text string
	}
	var all []code
	for _, list := range []struct {
		notes []program.Note
		mark  string
	}{{p.Notes, ""}, {p.Doubts, "?"}, {p.Beyond, "!"}} {
		for _, n := range list.notes {
			all = append(all, code{n.Line, fmt.Sprintf("%s%s:%d", n.Code, list.mark, n.Line)})
		}
	}
	slices.SortStableFunc(all, func(a, b code) int { return a.line - b.line })
	var out []string
	for _, c := range all {
		out = append(out, c.text)
	}
	return strings.Join(out, " ")
}

// Numbered repeats a text with the numbers from 0 up to n.
func Numbered(format string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

// Summary describes a program in a line for test tables: T or D for a move,
// with its end as place writes it and the feed of a Draw; one word for any
// other block.
func Summary(p program.Program, place func(paths.Point) string) string {
	var out []string
	for _, b := range p.Blocks {
		out = append(out, summaryOf(b, place))
	}
	return strings.Join(out, " ")
}

func summaryOf(b program.Block, place func(paths.Point) string) string {
	text := ""
	if b.Text != "" {
		text = ":" + b.Text
	}
	switch b.Kind {
	case program.Travel:
		return "T" + place(b.Curve.End())
	case program.Draw:
		if b.Feed > 0 {
			return "D" + place(b.Curve.End()) + fmt.Sprintf("@%.4g", b.Feed)
		}
		return "D" + place(b.Curve.End())
	case program.PenUp:
		return "up"
	case program.PenDown:
		return "down"
	case program.Pen:
		return fmt.Sprintf("pen%d", b.Number)
	case program.Dwell:
		return fmt.Sprintf("wait%g", b.Seconds)
	case program.Pause:
		return "pause" + text
	}
	return "remark" + text
}
