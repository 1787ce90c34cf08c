package paths_test

import (
	"testing"

	"weftplot/paths"
)

func TestSystemOf(t *testing.T) {
	for _, c := range []struct {
		text string
		want paths.System
		ok   bool
	}{
		{"24in", paths.Inches, true}, {"24-1/2in", paths.Inches, true}, {`24"`, paths.Inches, true},
		{"24 inch", paths.Inches, true}, {"2ft", paths.Inches, true}, {"60inx5yd", paths.Inches, true},
		{"61cm", paths.Metric, true}, {"610 mm", paths.Metric, true}, {"1.5m", paths.Metric, true},
		{"150cmx4m", paths.Metric, true}, {"-2cm,3in", paths.Metric, true},
		{"216rows", paths.Inches, false}, {"", paths.Inches, false}, {"24", paths.Inches, false}, {"margin", paths.Inches, false},
	} {
		if got, ok := paths.SystemOf(c.text); got != c.want || ok != c.ok {
			t.Errorf("SystemOf(%q) = %v, %v; want %v, %v", c.text, got, ok, c.want, c.ok)
		}
	}
}

// An inch is 25.4 mm (addendum to NBS Circular 572, 1960); the lengths are worked by
// hand from it.
func TestLengthInBothSystems(t *testing.T) {
	for _, c := range []struct {
		mm           float64
		inch, metric string
	}{
		{622.3, "24-1/2 in (62.2 cm)", "62.2 cm (24-1/2 in)"},
		{50.8, "2 in (5.1 cm)", "5.1 cm (2 in)"},
		{11.8, "0.46 in (11.8 mm)", "11.8 mm (0.46 in)"},
		{-25.4, "-1.00 in (-25.4 mm)", "-25.4 mm (-1.00 in)"},
	} {
		if got := paths.Length(c.mm).In(paths.Inches); got != c.inch {
			t.Errorf("%v mm, inches first: %q, want %q", c.mm, got, c.inch)
		}
		if got := paths.Length(c.mm).In(paths.Metric); got != c.metric {
			t.Errorf("%v mm, metric first: %q, want %q", c.mm, got, c.metric)
		}
	}
	if got, want := paths.Sides(609.6, 831.85, paths.Metric), "61.0 x 83.2 cm (24 x 32-3/4 in)"; got != want {
		t.Errorf("sides: %q, want %q", got, want)
	}
}
