package label_test

import (
	"fmt"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"weftplot/paths/label"
)

var places = []label.Place{label.Line, label.Picture, label.Remark, label.File}

func TestClean(t *testing.T) {
	long := strings.Repeat("ab ", 40_000)
	for _, c := range []struct {
		name  string
		place label.Place
		want  string
	}{
		{"lettering", label.Line, "lettering"},
		{"Łódź Ørsted", label.Line, "Łódź Ørsted"},
		{"two\nlines\r\n and\ttab", label.Line, "two lines and tab"},
		{"a\x1b[31mred", label.Line, "a [31mred"},
		{"a\u009b31mred", label.Line, "a 31mred"},
		{"turned\u202edne", label.Picture, "turneddne"},
		{"\u2067\u200b", label.Line, "unnamed"},
		{"", label.Line, ""},
		{"bad\xffbyte", label.Line, "bad\ufffdbyte"},
		{long, label.Picture, strings.TrimRight(long[:59], " ") + "…"},
		{"pen (3); %", label.Remark, "pen '3'' '"},
		{"naïve", label.Remark, "naive"},
		{"A \u0300 A", label.Remark, "A A"},
		{"to be~ or? Ł!", label.Remark, "to be- or. _."},
		{"../../x", label.File, "x"},
		{`..\..\x`, label.File, "x"},
		{"/etc/passwd", label.File, "etc-passwd"},
		{"C:\\mat", label.File, "C--mat"},
		{"con", label.File, "_con"},
		{"Com1.svg", label.File, "_Com1.svg"},
		{"...", label.File, "unnamed"},
		{"", label.File, "unnamed"},
		{"-rf", label.File, "rf"},
		{"harbour mat", label.File, "harbour mat"},
	} {
		if got := label.Clean(c.name, c.place); got != c.want {
			t.Errorf("Clean(%.40q, %d) = %q, want %q", c.name, c.place, got, c.want)
		}
	}
}

// A cleaned name is short, on one line and harmless, and cleaning it again
// changes nothing.
func TestCleanAlways(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.StringN(0, 300, -1),
			rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "name")
		p := rapid.SampledFrom(places).Draw(t, "place")
		got := label.Clean(name, p)
		if again := label.Clean(got, p); again != got {
			t.Fatalf("%q cleaned again is %q", got, again)
		}
		if !utf8.ValidString(got) || utf8.RuneCountInString(got) > 121 {
			t.Fatalf("%q is too long or no text", got)
		}
		for _, r := range got {
			if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) {
				t.Fatalf("%q holds %U", got, r)
			}
			if p == label.Remark && (r > '~' || strings.ContainsRune("();%?!~", r)) {
				t.Fatalf("%q cannot stand in a remark", got)
			}
			if p == label.File && strings.ContainsRune(`/\:`, r) {
				t.Fatalf("%q leaves its folder", got)
			}
		}
		if p == label.File && (got == "" || got[0] == '.' || got[0] == '-') {
			t.Fatalf("%q is no name for a file", got)
		}
	})
}

func ExampleClean() {
	name := "the harbour\n../mat"
	fmt.Println(label.Clean(name, label.Line))
	fmt.Println(label.Clean(name, label.File))
	// Output:
	// the harbour ../mat
	// the harbour ..-mat
}
