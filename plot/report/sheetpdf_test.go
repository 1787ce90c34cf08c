package report

import (
	"slices"
	"testing"

	"weftplot/paths"
)

// Only a drawing of very many curves is shown by chords on the sheet, which are nearer than
// half a dot of a printer: 25.4 mm of 600 dots.
func TestChordsOfLargeDrawings(t *testing.T) {
	straight := paths.Polyline(paths.Point{}, paths.Point{X: 1}, paths.Point{X: 2, Y: 1})
	round := paths.Stroke{paths.Circle(paths.Point{}, 1)}
	for _, c := range []struct {
		name  string
		lines []paths.Stroke
		whole bool
	}{
		{"straight", slices.Repeat([]paths.Stroke{straight}, 2*manyBends), true},
		{"many", slices.Repeat([]paths.Stroke{round}, manyBends), true},
		{"too many", slices.Repeat([]paths.Stroke{round}, manyBends+1), false},
		{"none", nil, true},
	} {
		if got := chordsOf(c.lines); (got == 0) != c.whole || got > 25.4/600/2 {
			t.Errorf("%s: chords within %v mm", c.name, got)
		}
	}
}
