package proof

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// TestWrap checks that every line fits, that there are no more lines than asked
// for, and that text which fits loses only blanks.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		width := rapid.Float64Range(3, 60).Draw(t, "width")
		most := rapid.IntRange(1, 6).Draw(t, "lines")
		got := wrap(s, 1, false, width, most)
		if len(got) > most {
			t.Fatalf("%d lines, want %d at most", len(got), most)
		}
		for _, line := range got {
			if w := textWidth(line, 1, false); w > width+1e-9 && utf8.RuneCountInString(line) > 1 {
				t.Fatalf("%q is %v wide, more than %v", line, w, width)
			}
		}
		blank := func(s string) string { return strings.Join(strings.Fields(s), "") }
		all := blank(strings.Join(got, ""))
		if want := blank(clean(s)); all != want && !strings.HasSuffix(all, "…") {
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
		if got := strings.Join(wrap(c.text, 1, false, c.width, c.lines), "|"); got != c.want {
			t.Errorf("wrap(%q, %v, %d) = %q, want %q", c.text, c.width, c.lines, got, c.want)
		}
	}
}

// TestTextWidth compares with another reader of the same font.
func TestTextWidth(t *testing.T) {
	for _, s := range []string{"", "edge of the rug", "24-1/2 in (62.2 cm) • 12 x 13", "ÅÄÖ åäö ß ﬁ …", "織"} {
		for _, bold := range []bool{false, true} {
			want := measure(t, s, bold)
			if got := textWidth(s, 1, bold); math.Abs(got-want) > 0.01*want {
				t.Errorf("%q is %v em wide, want %v", s, got, want)
			}
		}
	}
}

// TestTextOutline checks that the outlines fill the space given by the metrics.
func TestTextOutline(t *testing.T) {
	box := words{text: "Hxg", size: 10}.box()
	for _, s := range textOutline("Hxg", 10, false) {
		if err := s.Validate(); err != nil {
			t.Error(err)
		}
		if !s.IsClosed() {
			t.Error("an outline is open")
		}
		if b := s.Bounds(); !inside(box.Grow(0.3), b) {
			t.Errorf("an outline at %v is outside %v", b, box)
		}
	}
}
