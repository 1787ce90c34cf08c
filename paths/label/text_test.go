package label_test

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"weftplot/paths/label"
)

func TestText(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"two\n  lines\t of it\n", "two\n  lines\t of it\n"},
		{"a\x1b[2Jb\u202ec\u009bd\re", "a[2Jbcde"},
		{strings.Repeat("x", 1<<20), strings.Repeat("x", 1999) + "…"},
	} {
		if got := label.Text(c.in); got != c.want {
			t.Errorf("Text(%.40q) = %.40q, want %.40q", c.in, got, c.want)
		}
	}
}

// What is escaped reads back as the same, by the reader of encoding/json, and
// shows no character that steers.
func TestEscape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "name") + "\u202e\u009b\U000e0041"
		text, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		var back string
		out := label.Escape(text)
		if err := json.Unmarshal(out, &back); err != nil || back != in {
			t.Fatalf("%q came back as %q: %v", in, back, err)
		}
		if strings.ContainsFunc(string(out), func(r rune) bool { return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) }) {
			t.Fatalf("%q steers", out)
		}
	})
}
