package fault

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	_ "weftplot/paths/samecases"
)

// The first three are the worked examples that textbooks give of the edit distance
// (R. A. Wagner and M. J. Fischer, Journal of the ACM 21(1), 1974, count without
// exchanges); CA to ABC is the usual example of how the restricted form differs. The
// examples are from memory.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"", "abc", 3}, {"CA", "ABC", 3},
		{"wdith", "width", 1}, {"bakcing", "backing", 1}, {"höhe", "hohe", 1},
	} {
		if got := slips(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d slips, want %d", c.a, c.b, got, c.want)
		}
	}
}

// slowly is the definition, word for word, without a table.
func slowly(a, b string) int {
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	d := min(slowly(a[1:], b)+1, slowly(a, b[1:])+1)
	if a[0] == b[0] {
		return min(d, slowly(a[1:], b[1:]))
	}
	d = min(d, slowly(a[1:], b[1:])+1)
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, slowly(a[2:], b[2:])+1)
	}
	return d
}

func TestSlipsAreTheDefinitions(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,5}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if got, want := slips(a, b), slowly(a, b); got != want {
			t.Fatalf("%q to %q: %d, want %d", a, b, got, want)
		}
	})
}

func TestNearest(t *testing.T) {
	known := strings.Fields("width height craft transfer backing count margin")
	for typed, want := range map[string]string{
		"widht": "width", "hieght": "height", "baking": "backing", "crfat": "craft", "colour": "", "x": "", "": "",
	} {
		if got := Nearest(typed, known); got != want {
			t.Errorf("%q: nearest is %q, want %q", typed, got, want)
		}
	}
	if got := Meant("--", "widht", known, "all are listed"); got != "did you mean --width? all are listed" {
		t.Error(got)
	}
}
