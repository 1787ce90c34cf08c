package svg

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
)

// wordsIn reads text without a font as words, each as "TEXT x,y height turn anchor
// layer", with the codes of the notes.
func wordsIn(t *testing.T, body string) (list []string, codes string) {
	t.Helper()
	d, err := Read("test.svg", []byte(inPage(body)), Options{Words: true})
	if err != nil {
		t.Fatalf("%s: %v", body, err)
	}
	var notes []string
	for _, n := range d.Notes {
		notes = append(notes, n.Code)
	}
	for _, w := range d.Words {
		list = append(list, fmt.Sprintf("%s %.4g,%.4g %.4g %.4g %d %s", w.Text, w.At.X, w.At.Y, w.Height, w.Turn*180/math.Pi, w.Anchor, w.Layer))
	}
	return list, strings.Join(notes, " ")
}

// TestWords: where text without a font stands, how high its capitals are (0.7 of the
// font size, common practice) and what of it cannot be had. The page is 100 mm by
// 100 mm in units of 1 mm.
func TestWords(t *testing.T) {
	for _, c := range []struct{ name, body, want, codes string }{
		{"plain", `<text x="10" y="30" font-size="20">HOLD</text>`, "HOLD 10,70 14 0 0 black", ""},
		{"middle", `<text x="10" y="30" font-size="20" text-anchor="middle">HOLD</text>`, "HOLD 10,70 14 0 1 black", ""},
		{"end, with blanks", `<text x="10" y="30" font-size="10" text-anchor="end">  HOLD  fast </text>`, "HOLD fast 10,70 7 0 2 black", ""},
		{"lines", `<text x="10" y="30" font-size="10">one<tspan x="10" dy="1.5em">two</tspan><tspan x="12" dy="15">three</tspan></text>`,
			"one 10,70 7 0 0 black|two 10,55 7 0 0 black|three 12,40 7 0 0 black", ""},
		{"dx and dy of the first", `<text x="10" y="30" dx="2" dy="-3" font-size="10">one</text>`, "one 12,73 7 0 0 black", ""},
		{"turned", `<text transform="translate(50,50) rotate(-90)" font-size="10">up</text>`, "up 50,50 7 90 0 black", ""},
		{"scaled", `<g transform="scale(2)"><text x="10" y="20" font-size="10">twice</text></g>`, "twice 20,60 14 0 0 black", ""},
		{"one letter turned", `<text x="10" y="30" font-size="10" rotate="15">A</text>`, "A 10,70 7 -15 0 black", ""},
		{"a letter each", `<text x="10 20" y="30" font-size="10">AB</text>`, "A 10,70 7 0 0 black|B 20,70 7 0 0 black", ""},
		{"raised", `<text x="10" y="30" font-size="10"><tspan baseline-shift="5">A</tspan></text>`, "A 10,75 7 0 0 black", ""},
		{"grouped", `<g id="notes"><text x="10" y="30" font-size="10">A</text></g>`, "A 10,70 7 0 0 notes", ""},
		{"letters moved", `<text x="10" y="30" font-size="10" dy="0 3">AB</text>`, "AB 10,70 7 0 0 black", "place-not-applied"},
		{"letters turned", `<text x="10" y="30" font-size="10" rotate="5">AB</text>`, "AB 10,70 7 0 0 black", "rotate-not-applied"},
		{"two sizes", `<text x="10" y="30" font-size="10">A<tspan font-size="20">B</tspan></text>`, "AB 10,70 7 0 0 black", "size-not-applied"},
		{"stretched", `<text transform="scale(2,1)" x="10" y="30" font-size="10">A</text>`, "A 20,70 7 0 0 black", "stretch-not-applied"},
		{"slanted", `<text transform="skewX(-20)" y="30" x="20.919" font-size="10">A</text>`, "A 10,70 7 0 0 black", "stretch-not-applied"},
		{"mirrored", `<path stroke="black" d="M1 1h9"/><text transform="translate(50,0) scale(-1,1)" y="30" font-size="10">A</text>`, "", "text-not-drawn"},
		{"downwards", `<path stroke="black" d="M1 1h9"/><text y="30" writing-mode="tb" font-size="10">A</text>`, "", "text-not-drawn"},
		{"along a path", `<text x="10" y="30" font-size="10">A<textPath href="#p">B</textPath></text>`, "A 10,70 7 0 0 black", "text-not-drawn"},
		{"hidden", `<path stroke="black" d="M1 1h9"/><text y="30" visibility="hidden" font-size="10">A</text>`, "", "hidden"},
		{"not shown", `<path stroke="black" d="M1 1h9"/><text y="30" display="none" font-size="10">A</text>`, "", "hidden"},
		{"of no size", `<path stroke="black" d="M1 1h9"/><text y="30" font-size="0">A</text>`, "", "text-not-drawn"},
		{"stretched to a length", `<text x="10" y="30" font-size="10" textLength="90">A</text>`, "A 10,70 7 0 0 black", "text-length-not-applied"},
	} {
		list, codes := wordsIn(t, c.body)
		if got := strings.Join(list, "|"); got != c.want || codes != c.codes {
			t.Errorf("%s: read %q with notes %q, want %q and %q", c.name, got, codes, c.want, c.codes)
		}
	}
}

// TestWordsWithFonts: text that a font is given for is drawn in it, and only other
// text is kept as words.
func TestWordsWithFonts(t *testing.T) {
	font := goFont
	font.Family = "Rope"
	d, err := Read("test.svg", []byte(inPage(`<text x="9" y="30" font-family="Rope">A</text><text x="9" y="60" font-family="Twine">B</text>`)), Options{Words: true, Fonts: []Font{font}})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Words) != 1 || d.Words[0].Text != "B" || len(d.Strokes()) == 0 {
		t.Errorf("words %v beside %d outlines", d.Words, len(d.Strokes()))
	}
}

// TestWordsMove: words go with their design, and read right under a map that mirrors.
func TestWordsMove(t *testing.T) {
	w := paths.Words{At: paths.Point{X: 3, Y: 4}, Height: 2, Turn: 0.3, Spacing: 1}
	m := paths.Rotate(0.5).Then(paths.Scale(3, 3)).Then(paths.Translate(paths.Point{X: 1}))
	got := w.Transform(m)
	if math.Abs(got.Turn-0.8) > 1e-12 || math.Abs(got.Height-6) > 1e-12 || math.Abs(got.Spacing-3) > 1e-12 || got.At.Dist(m.Apply(w.At)) > 1e-12 {
		t.Errorf("moved to %+v", got)
	}
	if got := w.Transform(paths.MirrorX(0)); math.Abs(got.Height-w.Height) > 1e-9 {
		t.Errorf("mirrored to %+v", got)
	}
}
