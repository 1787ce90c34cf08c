package typeface

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// TestWrap checks that every line fits, that there are no more lines than asked
// for, and that text which fits loses only blanks.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		width := rapid.Float64Range(3, 60).Draw(t, "width")
		most := rapid.IntRange(1, 6).Draw(t, "lines")
		got := Wrap(s, 1, false, width, most)
		if len(got) > most {
			t.Fatalf("%d lines, want %d at most", len(got), most)
		}
		for _, line := range got {
			if w := Width(line, 1, false); w > width+1e-9 && utf8.RuneCountInString(line) > 1 {
				t.Fatalf("%q is %v wide, more than %v", line, w, width)
			}
		}
		blank := func(s string) string { return strings.Join(strings.Fields(s), "") }
		all := blank(strings.Join(got, ""))
		if want := blank(Clean(s)); all != want && !strings.HasSuffix(all, "…") {
			t.Fatalf("%q became %q", want, all)
		}
	})
}

func TestWrapCases(t *testing.T) {
	for _, c := range []struct {
		text  string
		width float64
		lines int
		want  string
	}{
		{"", 10, 3, ""},
		{" \t\n ", 10, 3, ""},
		{"red wool", 100, 3, "red wool"},
		{"red wool", 3, 3, "red|wool"},
		{"red wool and blue yarn", 4.5, 2, "red wool|and blu…"},
		{"red-wool-and-blue", 5.2, 9, "red-wool-|and-blue"},
		{"redwoolandblue", 4.5, 9, "redwoola|ndblue"},
		{"a\u202eb\x00c", 100, 1, "a b c"},
		{"\xff", 100, 1, "?"},
	} {
		if got := strings.Join(Wrap(c.text, 1, false, c.width, c.lines), "|"); got != c.want {
			t.Errorf("wrap(%q, %v, %d) = %q, want %q", c.text, c.width, c.lines, got, c.want)
		}
	}
}
