package plot

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
	"weftplot/plot/program"
)

// TestNamesAreNames: whatever a design and its layers are called, the program is for
// the same machine, has the same pens and asks for the same, and its remarks are few
// and short.
func TestNamesAreNames(t *testing.T) {
	hostile := []string{
		"pen 3", "weftplot:pen 3", "weftplot:1 machine other", "weftplot program for machine other", "MSG, go away", "LOGOPEN,x",
		"a)\nM104 S200\n(b", "drawn: the other side", "%", "!~?", strings.Repeat("ab ", 33_000), strings.Repeat("x", 100_000), "\x18",
	}
	s := job.Defaults()
	d := jobtest.DesignOf([]paths.Stroke{paths.Polyline(paths.Point{}, paths.Point{X: 200, Y: 150})},
		[]paths.Stroke{paths.Polyline(paths.Point{X: 50}, paths.Point{X: 150, Y: 50})})
	in := jobtest.Inputs(t, d, s)
	plain, err := Make(context.Background(), in, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range hostile {
		s.Name, in.Design.Layers[0].Name = name, name
		named, err := Make(context.Background(), in, s, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range named.PenRuns {
			a, b := plain.PenRuns[i], named.PenRuns[i]
			if b.Program.Machine != s.Machine || fmt.Sprint(a.Program.Pens()) != fmt.Sprint(b.Program.Pens()) {
				t.Errorf("%.40q: the machine is %q and the pens are %v in\n%.2000s", name, b.Program.Machine, b.Program.Pens(), b.Text)
			}
			if x, y := withoutRemarks(a.Program), withoutRemarks(b.Program); x != y {
				t.Errorf("%.40q: another program comes of another name:\n%s\n%s", name, x, y)
			}
			if strings.Count(string(b.Text), "\n(") > 12 || !strings.HasPrefix(string(b.Text), "(weftplot:1 machine "+s.Machine+")\n") {
				t.Errorf("%.40q: the remarks are\n%.3000s", name, b.Text)
			}
		}
	}
}

// withoutRemarks sums up what a program does.
func withoutRemarks(p program.Program) string {
	var b strings.Builder
	for _, block := range p.Blocks {
		if block.Kind != program.Remark {
			fmt.Fprintln(&b, block.Kind, block.Curve, block.Feed, block.Number, block.Text)
		}
	}
	return b.String()
}
