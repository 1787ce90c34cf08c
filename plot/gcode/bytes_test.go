package gcode

import (
	"testing"

	"weftplot/paths"
	"weftplot/plot/fit"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
)

// TestBytes compares what designs take as arcs with what short lines take at the
// same tolerance: under a third where curves are most of them, and never more.
func TestBytes(t *testing.T) {
	curved := map[string]bool{"anchor-coaster.svg": true, "fern.svg": true, "rosette.svg": true, "welcome-half-round.svg": true}
	m := machine(t, "practice")
	size := func(strokes []paths.Stroke) float64 {
		text, err := Write(program.Program{Blocks: programtest.Blocks(0, strokes...)}, m)
		if err != nil {
			t.Fatal(err)
		}
		return float64(len(text))
	}
	seen := 0
	for _, d := range programtest.Designs(t) {
		for _, tol := range []float64{0.05, 0.02} {
			var fitted, lines []paths.Stroke
			pieces, chords := 0, 0
			for _, s := range d.Strokes() {
				f, l := fit.Arcs(s, tol), paths.Polyline(s.Flatten(tol)...)
				fitted, lines = append(fitted, f), append(lines, l)
				pieces, chords = pieces+len(f), chords+len(l)
			}
			metres := paths.LengthOf(lines) / 1000
			a, b := size(fitted), size(lines)
			t.Logf("%-23s within %.2f mm: %5.2f m, %3d strokes, %4d pieces for %4d lines, %4.0f bytes/m for %4.0f, %3.0f %%",
				d.Name, tol, metres, len(lines), pieces, chords, a/metres, b/metres, 100*a/b)
			if curved[d.Name] {
				seen++
				if a > b/3 {
					t.Errorf("%s: %.0f bytes with arcs, %.0f with lines", d.Name, a, b)
				}
			}
			if a > b*1.001 {
				t.Errorf("%s: %.0f bytes with arcs, more than %.0f with lines", d.Name, a, b)
			}
		}
	}
	if seen != 2*len(curved) {
		t.Error("a design is missing")
	}
}
