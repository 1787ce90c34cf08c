package gcode

import (
	"context"
	"errors"
	"strings"
	"testing"

	"weftplot/paths/fault"
	"weftplot/plot/program/programtest"
)

// hostile are texts made to take long: each grows with n.
var hostile = map[string]func(n int) string{
	"digits":          func(n int) string { return "G0 X" + strings.Repeat("1", n) },
	"spaces":          func(n int) string { return "G0 X" + strings.Repeat(" ", n) + "1\nM2" },
	"brackets":        func(n int) string { return "G0 X" + strings.Repeat("[", n) },
	"parameter signs": func(n int) string { return "G0 X" + strings.Repeat("#", n) + "1" },
	"open comments":   func(n int) string { return "G0 X1 " + strings.Repeat("(", n) },
	"comments":        func(n int) string { return "G0 X1\n" + strings.Repeat("(a)\n", n) + "M2" },
	"comments a line": func(n int) string { return strings.Repeat("(a)", n) },
	"tiny moves":      func(n int) string { return "M3\nG1 F60\n" + strings.Repeat("X.001\nX0\n", n) + "M5\nM2" },
	"cycles":          func(n int) string { return "G91\n" + strings.Repeat("G81 X1 Z-1 L999\n", n) },
	"other tools":     func(n int) string { return programtest.Numbered("T%d M6\n", n) + "M2" },
	"odd words":       func(n int) string { return programtest.Numbered("Q%d\n", n) + "M2" },
	"odd codes":       func(n int) string { return programtest.Numbered("M%d\n", min(n, 900)) + "M2" },
	"parameters":      func(n int) string { return programtest.Numbered("#1=[#1+%d]\n", n) + "M2" },
	"settings a line": func(n int) string { return strings.Repeat("#1=1", n) },
	"arcs that miss":  func(n int) string { return "M3\nG1 F60 X1\n" + programtest.Numbered("G2 X%d I1\n", n) + "M5\nM2" },
	"guessed":         func(n int) string { return strings.Repeat("G0 X1\nG1 X2\n", n) + "M2" },
	"pen lines":       func(n int) string { return strings.Repeat("M3 S90\n", n) + "M2" },
}

// TestHostileTexts: whatever a text is made of, it takes memory in proportion,
// makes steps in proportion, and ends in a program or a fault.
func TestHostileTexts(t *testing.T) {
	codec.Hostile(t, programtest.Machine(t, "gantry-servo"), hostile)
}

// TestWildNumbers: numbers that no machine takes are a doubt, with their line, and
// a program of nothing else is refused.
func TestWildNumbers(t *testing.T) {
	for _, text := range []string{
		"G0 XNAN", "G0 XINF", "G0 X-INF", "G0 X0x10", "G0 X9999999999", "G2 X1 R1" + strings.Repeat("0", 300),
		"G0 X[10**300]", "G0 X[0-1/0.0]", "G4 P9999999999", "G1 F[exp[1000]]",
	} {
		p := read(t, "G21\n"+text+"\nM2\n")
		if len(p.Doubts) == 0 || p.Doubts[0].Line != 2 {
			t.Errorf("%.40q gives %v, want a doubt on line 2", text, p.Doubts)
		}
		_, err := Read(context.Background(), "wild", []byte(text), nil)
		var bad *fault.Error
		if !strings.HasPrefix(text, "G2") && (!errors.As(err, &bad) || !strings.Contains(bad.Where, "line 1")) {
			t.Errorf("%.40q alone gives %v, want a fault on line 1", text, err)
		}
	}
	// One that is only large is a move like others.
	if got := summary(read(t, "M3\nG1 F60 X1\nG2 X2 R9999999\nM5\nM2")); got != "down D1,0@1 D2,0@1 up" {
		t.Errorf("a flat arc is %s", got)
	}
}
