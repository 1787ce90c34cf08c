package svg

import (
	"strings"
	"testing"
)

// A filled rectangle as large as the page, under all else, is the paper.
func TestPaper(t *testing.T) {
	const mark = `<circle cx="50" cy="50" r="20"/>`
	for _, tt := range []struct {
		name, body, codes string
		strokes           int
	}{
		{"paper", `<rect width="100" height="100" fill="white"/>` + mark, "paper-not-drawn fills-as-outlines", 1},
		{"in percent and in a group", `<g id="ground"><rect width="100%" height="100%" fill="#f4efe6"/></g>` + mark, "paper-not-drawn fills-as-outlines", 1},
		{"as a path", `<path fill="ivory" d="M0 0H100V100H0z"/>` + mark, "paper-not-drawn fills-as-outlines", 1},
		{"a rounding off", `<rect x="-.2" y="-.2" width="100.4" height="100.4" fill="white"/>` + mark, "paper-not-drawn fills-as-outlines", 1},
		{"clipped by the page", `<clipPath id="c"><rect width="100" height="100"/></clipPath><g clip-path="url(#c)"><rect width="100" height="100" fill="white"/>` + mark + `</g>`, "paper-not-drawn fills-as-outlines", 1},
		{"under a mask that hides nothing", `<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="100" height="100"><rect width="100" height="100" fill="white"/></mask><g mask="url(#m)"><rect width="100" height="100" fill="white"/>` + mark + `</g>`, "paper-not-drawn fills-as-outlines", 1},
		{"in an inner picture", `<svg><rect width="100" height="100" fill="white"/>` + mark + `</svg>`, "paper-not-drawn fills-as-outlines", 1},
		{"clipped", `<clipPath id="c"><rect width="100" height="70"/></clipPath><g clip-path="url(#c)"><rect width="100" height="100" fill="white"/>` + mark + `</g>`, "fills-as-outlines", 2},
		{"with a line", `<rect width="100" height="100" fill="white" stroke="red"/>` + mark, "fills-as-outlines", 2},
		{"smaller", `<rect x="2" y="2" width="96" height="96" fill="white"/>` + mark, "fills-as-outlines", 2},
		{"over the drawing", mark + `<rect width="100" height="100" fill="none" stroke="red"/><rect width="100" height="100" fill-opacity=".1"/>`, "fills-as-outlines", 3},
		{"a rhombus", `<path d="M50 0L100 50 50 100 0 50z"/>` + mark, "fills-as-outlines", 2},
		{"alone", `<rect width="100" height="100"/>`, "fills-as-outlines", 1},
	} {
		d := read(t, inPage(tt.body))
		if got := codes(d); got != tt.codes || len(d.Strokes()) != tt.strokes {
			t.Errorf("%s: notes %s, %d strokes; want %s, %d", tt.name, got, len(d.Strokes()), tt.codes, tt.strokes)
		}
	}
	// United, a white shape on white paper shows nothing.
	d := united(t, `<rect width="100" height="100" fill="white"/>`+mark+`<circle cx="50" cy="50" r="10" fill="white"/><rect width="9" height="9" fill="#fff"/>`)
	if len(d.Strokes()) != 2 || !strings.Contains(codes(d), "paper-not-drawn") {
		t.Errorf("united: %s, notes %s; want two circles", shown(d), codes(d))
	}
	if d := united(t, `<rect width="100" height="100" fill="white"/>`); len(d.Strokes()) != 1 {
		t.Errorf("paper alone, united: %s", shown(d))
	}
}

// Fills that overlap are worth uniting, and how much of their line that saves is said.
func TestOverlapsAreTold(t *testing.T) {
	for _, tt := range []struct{ body, says string }{
		{`<rect width="10" height="10"/><rect x="5" width="10" height="10"/>`, "They overlap: 38 % of the line"},
		{`<circle cx="20" cy="20" r="9"/><circle cx="20" cy="20" r="9"/>`, "They overlap: 50 % of the line"},
		{`<circle cx="20" cy="20" r="9"/><circle cx="50" cy="20" r="9"/>`, ""},
		{`<circle cx="20" cy="20" r="9"/><circle cx="20" cy="20" r="4" fill="red"/>`, ""},
	} {
		d := read(t, inPage(tt.body))
		if n := d.Notes[0]; strings.Contains(n.Message, "[unite]") != (tt.says != "") || !strings.Contains(n.Message, tt.says) {
			t.Errorf("%s: %q, want %q", tt.body, n.Message, tt.says)
		}
	}
}

// Of shapes that overlap none is said to lie within another that does not.
func TestUniteSaysWhatIsHidden(t *testing.T) {
	for _, tt := range []struct{ body, says string }{
		{`<circle cx="40" cy="50" r="20"/><circle cx="60" cy="50" r="20"/>`, ""},
		{`<circle cx="40" cy="50" r="20"/><circle cx="40" cy="50" r="20"/>`, ""},
		{`<circle cx="40" cy="50" r="20"/><circle cx="40" cy="50" r="10"/>`, "1 of them lies wholly within"},
		{`<circle cx="40" cy="50" r="10" fill="red"/><circle cx="40" cy="50" r="20"/>`, "1 of them lies wholly within"},
		{`<clipPath id="c"><rect width="50" height="100"/></clipPath><g clip-path="url(#c)"><rect width="100" height="50"/><rect y="50" width="100" height="50"/></g>`, ""},
	} {
		d := united(t, tt.body)
		if n := d.Notes[0]; strings.Contains(n.Message, "wholly") != (tt.says != "") || !strings.Contains(n.Message, tt.says) {
			t.Errorf("%s: %q, want %q", tt.body, n.Message, tt.says)
		}
	}
}
