package hpgl

import (
	"slices"
	"testing"

	"weftplot/paths"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// TestBytes compares what designs take as encoded polylines with what plain
// coordinate lists of the same points take: under two fifths where curves are
// most of them. Of straight lines the moves to them are half.
func TestBytes(t *testing.T) {
	plain, packed := machine(t, "flatbed-hpgl"), machine(t, "flatbed-hpgl2")
	size := func(p program.Program, to profiles.Machine) float64 {
		text, err := Write(p, to)
		if err != nil {
			t.Fatal(err)
		}
		return float64(len(text))
	}
	curved := []string{"anchor-coaster.svg", "fern.svg", "lighthouse-mat.svg", "net-loft-carpet.svg", "rosette.svg", "welcome-half-round.svg"}
	seen := 0
	for _, d := range programtest.Designs(t) {
		const tol = 0.015
		strokes := d.Strokes()
		lines := make([]paths.Stroke, len(strokes))
		for i, s := range strokes {
			lines[i] = paths.Polyline(s.Flatten(tol)...)
		}
		chords := program.Program{Blocks: programtest.Blocks(0, lines...)}
		curves := program.Program{Blocks: programtest.Blocks(0, strokes...), Tolerance: tol}
		metres := paths.LengthOf(strokes) / 1000
		lists, encoded := size(chords, plain), size(chords, packed)
		t.Logf("%-23s %5.2f m, bytes/m: %4.0f lists, %4.0f encoded, %2.0f %%; with arc instructions %4.0f and %4.0f, %2.0f %%",
			d.Name, metres, lists/metres, encoded/metres, 100*encoded/lists,
			size(curves, plain)/metres, size(curves, packed)/metres, 100*size(curves, packed)/lists)
		if slices.Contains(curved, d.Name) {
			seen++
			if encoded > 0.4*lists {
				t.Errorf("%s: %.0f bytes encoded, %.0f as lists", d.Name, encoded, lists)
			}
		}
	}
	if seen != len(curved) {
		t.Error("a design is missing")
	}
}
