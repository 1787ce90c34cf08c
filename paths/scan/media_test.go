package scan

import (
	"flag"
	"slices"
	"strings"
	"testing"

	"weftplot/paths/scan/papers"
	"weftplot/paths/scan/truth"
)

var thorough = flag.Bool("thorough", false, "trace small pages in every medium, and not only in crayon, and lines of every width at every angle")

// TestMedia traces small pages in media that thinning alone makes grains of, on printed
// paper, with the black edge of a copy, and through a lens that bends.
func TestMedia(t *testing.T) {
	for _, c := range []struct {
		kind                      string
		p95                       float64 // mm
		missing, spurious, pieces float64 // percent of the length; pieces a stroke
		ruling                    string
		long                      bool // only where the run is thorough
	}{
		{"crayon", 0.5, 3, 1, 2, "", false},
		{"charcoal", 0.5, 3, 1, 2, "", true},
		{"squared", 0.15, 1, 0.5, 1.3, "squared paper, 5.0 mm", true},
		{"lined", 0.15, 1, 0.5, 1.3, "lined paper, ", true},
		{"dotted", 0.15, 1, 0.5, 1.3, "dotted paper, 5.0 mm", true},
		{"graph", 0.15, 1, 0.5, 1.3, "squared paper, ", true},
		{"wide marker", 0.15, 2, 0.5, 1.3, "", true},
		{"photocopy", 0.15, 1, 1, 1.3, "", true},
		{"lens", 0.15, 1, 1, 1.3, "", true},
	} {
		if c.long && !*thorough {
			continue
		}
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

// TestMadeUpResolution hands squared paper over with its resolution, and with one that is
// made up: of squares of 5 mm it makes 5.6 mm.
func TestMadeUpResolution(t *testing.T) {
	i := slices.IndexFunc(papers.Kinds(), func(k papers.Kind) bool { return k.Name == "squared" })
	file, opt, err := handedOver(papers.Kinds()[i].Make(1, 60, 50))
	if err != nil {
		t.Fatal(err)
	}
	for _, madeUp := range []float64{1, 0.9} {
		opt.DPI = [2]float64{madeUp * papers.DPI, madeUp * papers.DPI}
		got, err := traceFile(file, opt)
		notes := strings.Join(got.Notes(), " ")
		if err != nil || got.Ruling == "" || strings.Contains(notes, "the size is in doubt") != (madeUp != 1) {
			t.Errorf("%v times the resolution: %q, %v", madeUp, notes, err)
		}
	}
}
