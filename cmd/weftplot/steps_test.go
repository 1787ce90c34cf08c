package main

import (
	"context"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/terminal"
)

// Every command that may take long says which step it is at from its first to its last, so
// that a person at a terminal sees what it does: a step that is silent is shown with how
// long it takes.
func TestCommandsTellTheirSteps(t *testing.T) {
	dir := t.TempDir()
	designs, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	design := filepath.Join(designs, "designs", "anchor-coaster.svg")
	must(t, halfSize(filepath.Join(designs, "scans"), dir, "inks.jpg"))
	for _, c := range []struct{ args, steps string }{
		{"prepare " + design + " --width 5in --effort quick --out job",
			"reading, laying out, snapping, joining, registering, ordering, fitting, writing, verifying, drawing proofs, saving"},
		{"check " + design + " --width 5in --out found.svg", "reading, looking, drawing"},
		{"preview job --out dry.svg", "reading, running dry, drawing"},
		{"preview " + filepath.Join("job", "plot.gcode") + " --out dry.png", "reading, running dry, drawing"},
		{"scan half-inks.jpg --width 8in --out scan.svg --proof lines.svg", "reading, looking for lines, drawing"},
		{"send job --port sim --sim-speed 1000 --yes", "reading, sending"},
	} {
		var steps []string
		s := terminal.Streams{In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Dir: dir,
			Steps: func(step string) { steps = append(steps, step) }}
		if status := run(context.Background(), append([]string{"weftplot"}, strings.Fields(c.args)...), s); status != statusDone {
			t.Errorf("%s: exit status %d", c.args, status)
		}
		if got := strings.Join(slices.Compact(steps), ", "); got != c.steps {
			t.Errorf("%s: the steps are %s, want %s", c.args, got, c.steps)
		}
	}
}
