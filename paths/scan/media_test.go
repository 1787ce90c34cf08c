package scan

import (
	"slices"
	"testing"

	"weftplot/paths/scan/papers"
	"weftplot/paths/scan/truth"
)

// TestMedia traces small pages in media that thinning alone makes grains of, on printed
// paper, with the black edge of a copy,
// and through a lens that bends.
func TestMedia(t *testing.T) {
	for _, c := range []struct {
		kind                      string
		p95                       float64 // mm
		missing, spurious, pieces float64 // percent of the length; pieces a stroke
		ruling                    string
	}{
		{"crayon", 0.5, 3, 1, 2, ""},
		{"charcoal", 0.5, 3, 1, 2, ""},
		{"squared", 0.15, 1, 0.5, 1.3, "squared paper, 5.0 mm"},
		{"photocopy", 0.15, 1, 1, 1.3, ""},
		{"lens", 0.15, 1, 1, 1.3, ""},
	} {
		i := slices.IndexFunc(papers.Kinds(), func(k papers.Kind) bool { return k.Name == c.kind })
		page := papers.Kinds()[i].Make(1, 110, 100)
		got, err := traceOf(page)
		if err != nil {
			t.Errorf("%s: %v", c.kind, err)
			continue
		}
		s := truth.Compare(got.Strokes, page.Drawn)
		t.Logf("%s: %v, %q, %.2f of it round the sheet", c.kind, s, got.Ruling, got.Around)
		if s.P95 > c.p95 || s.Missing > c.missing || s.Spurious > c.spurious || float64(s.Strokes) > c.pieces*float64(s.TrueStrokes) {
			t.Errorf("%s: %v", c.kind, s)
		}
		if n := min(len(c.ruling), len(got.Ruling)); got.Ruling[:n] != c.ruling {
			t.Errorf("%s: the ruling is %q, want %q", c.kind, got.Ruling, c.ruling)
		}
	}
}
