package label_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"weftplot/paths/label"
	_ "weftplot/paths/samecases"
)

func TestFit(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"short", "short\n"},
		{"made for        a machine that has a long name", "made for        a machine that\n                has a long name\n"},
		{"  cloth  as wide as the selvedges are apart", "  cloth  as wide as the\n         selvedges are apart\n"},
		{"one sentence that is much wider than its line", "one sentence that is much wider\nthan its line\n"},
	} {
		if got := label.Fit(c.line, 32); got != c.want {
			t.Errorf("Fit(%q) = %q, want %q", c.line, got, c.want)
		}
	}
}

// No line is wider than asked, and no letter is lost.
func TestWrapKeepsTextAndWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-zé]{0,40} {0,3}){0,12}`).Draw(t, "text")
		first := rapid.SampledFrom([]string{"", "  - ", "label:    "}).Draw(t, "first")
		width := rapid.IntRange(12, 60).Draw(t, "width")
		got := label.Wrap(text, first, "  ", width)
		for _, line := range strings.Split(got, "\n") {
			if n := utf8.RuneCountInString(line); n > width {
				t.Fatalf("%q is %d wide, not %d", line, n, width)
			}
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if squeeze(got) != squeeze(first+text) {
			t.Fatalf("Wrap(%q) = %q", text, got)
		}
	})
}
