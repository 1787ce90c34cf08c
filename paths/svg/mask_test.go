package svg

import (
	"math"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
)

// maskedFills are filled shapes in one colour under masks all black and white.
var maskedFills = []struct{ name, body string }{
	{"white shows", `<mask id="m"><circle cx="50" cy="50" r="30" fill="white"/></mask><rect mask="url(#m)" width="60" height="100"/>`},
	{"black hides", `<mask id="m"><rect width="100" height="100" fill="#fff"/><circle cx="50" cy="50" r="20"/></mask><rect mask="url(#m)" x="10" y="10" width="80" height="60"/>`},
	{"white on black on white", `<mask id="m"><rect width="100" height="100" fill="#fff"/><circle cx="50" cy="50" r="30"/><rect x="40" y="40" width="20" height="80" fill="rgb(255,255,255)"/></mask><rect mask="url(#m)" x="10" y="10" width="80" height="80"/>`},
	{"black below white", `<mask id="m"><circle cx="50" cy="50" r="30"/><circle cx="60" cy="50" r="25" fill="white"/></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"nothing but black", `<mask id="m"><circle cx="50" cy="50" r="30"/></mask><rect mask="url(#m)" width="100" height="100"/><rect x="5" y="5" width="10" height="10"/>`},
	{"empty", `<mask id="m"/><rect mask="url(#m)" width="100" height="100"/><rect x="5" y="5" width="10" height="10"/>`},
	{"by alpha", `<mask id="m" mask-type="alpha"><circle cx="50" cy="50" r="30" fill="red"/><rect x="10" y="45" width="80" height="10"/></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"by alpha in a style", `<style>#m { mask-type: alpha }</style><mask id="m"><circle cx="50" cy="50" r="30"/></mask><rect mask="url(#m)" y="20" width="100" height="50"/>`},
	{"its box", `<mask id="m"><rect x="-900" y="-900" width="1900" height="1900" fill="white"/></mask><g mask="url(#m)"><circle cx="50" cy="50" r="30"/></g>`},
	{"its box by user units", `<mask id="m" maskUnits="userSpaceOnUse" x="20" y="10%" width="50" height="60%"><rect width="100" height="100" fill="white"/></mask><circle mask="url(#m)" cx="50" cy="50" r="45"/>`},
	{"its box by parts", `<mask id="m" x=".25" y="-10%" width=".5" height="80%"><rect width="100" height="100" fill="white"/></mask><circle mask="url(#m)" cx="50" cy="50" r="45"/>`},
	{"contents by parts", `<mask id="m" maskContentUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".5" fill="white"/><rect x=".4" y=".2" width=".2" height=".6"/></mask><rect mask="url(#m)" x="10" y="10" width="80" height="40"/><path mask="url(#m)" d="M20 60h60l-30 35z"/>`},
	{"on a group", `<mask id="m"><rect width="100" height="100" fill="#fff"/><path d="M0 45L100 55V70L0 60z"/></mask><g mask="url(#m)"><rect x="10" y="10" width="30" height="80"/><circle cx="70" cy="50" r="28"/></g>`},
	{"on a turned group", `<mask id="m"><rect width="100" height="100" fill="#fff"/><circle cx="40" cy="40" r="20"/></mask><g mask="url(#m)" transform="rotate(20 50 50) scale(.8 .6)"><rect x="10" y="10" width="90" height="80"/></g>`},
	{"nested", `<mask id="m"><circle cx="40" cy="50" r="30" fill="white"/></mask><mask id="k"><circle cx="60" cy="50" r="30" fill="white"/></mask><g mask="url(#m)"><rect mask="url(#k)" width="100" height="60"/></g>`},
	{"with a clip path", `<clipPath id="c"><circle cx="50" cy="50" r="40"/></clipPath><mask id="m"><rect width="100" height="100" fill="white"/><rect x="45" width="10" height="100"/></mask><rect mask="url(#m)" clip-path="url(#c)" y="20" width="100" height="60"/>`},
	{"under a mask itself", `<mask id="k"><rect width="100" height="55" fill="white"/></mask><mask id="m" mask="url(#k)"><circle cx="50" cy="50" r="40" fill="white"/></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"a part of it under a mask", `<mask id="k"><rect width="100" height="55" fill="white"/></mask><mask id="m"><rect width="100" height="100" fill="white"/><circle cx="50" cy="50" r="40" mask="url(#k)"/></mask><rect mask="url(#m)" x="5" y="5" width="90" height="90"/>`},
	{"a part of it under a clip path", `<clipPath id="c"><rect width="55" height="100"/></clipPath><mask id="m"><rect width="100" height="100" fill="white"/><circle cx="50" cy="50" r="40" clip-path="url(#c)"/></mask><rect mask="url(#m)" x="5" y="5" width="90" height="90"/>`},
	{"use and groups within", `<defs><path id="k" d="M0 0h30l10 30-40 20z"/></defs><mask id="m"><g fill="white" transform="rotate(10 50 50)"><use href="#k" x="10" y="10"/><use href="#k" x="40" y="45" fill="#fefefe"/></g></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"an inner picture within", `<mask id="m"><svg x="20" y="20" width="50" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMidYMid slice"><circle cx="5" cy="5" r="6" fill="white"/></svg></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"fill rules", `<mask id="m"><path fill="white" fill-rule="evenodd" d="M50 5L80 95 5 35H95L20 95z"/></mask><rect mask="url(#m)" y="10" width="100" height="75"/>`},
	{"black lines cut gaps", `<mask id="m"><rect width="100" height="100" fill="white"/><path d="M10 20L80 30 40 80 90 90" fill="none" stroke="#000" stroke-width="8"/></mask><rect mask="url(#m)" x="5" y="5" width="90" height="90"/>`},
	{"white lines of each end and corner", `<mask id="m"><g fill="none" stroke="white" stroke-width="7"><path d="M10 15h30l-20 18" stroke-linecap="round" stroke-linejoin="round"/><path d="M60 15h30l-20 18" stroke-linecap="square" stroke-linejoin="bevel"/><path d="M10 60h30l-25 18"/><path d="M60 60h30l-28 8M60 90h20" stroke-miterlimit="12"/></g></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"lines that bend", `<mask id="m"><path d="M10 50C20 -20 60 120 90 30" fill="none" stroke="white" stroke-width="12"/><circle cx="30" cy="70" r="18" fill="none" stroke="white" stroke-width="6"/><path d="M60 70a15 15 0 0 1 30 0" fill="none" stroke="white" stroke-width="5" stroke-linecap="round"/></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"lines stretched one way", `<mask id="m"><g transform="matrix(1.5 .2 -.3 .6 5 5)"><path d="M10 20L50 30 20 80z" fill="none" stroke="white" stroke-width="8" stroke-linejoin="round"/><circle cx="45" cy="100" r="15" fill="none" stroke="white" stroke-width="6"/></g></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"dashes", `<mask id="m"><rect width="100" height="100" fill="white"/><path d="M0 50H100M50 0V100" stroke="#000" stroke-width="6" stroke-dasharray="9 4"/></mask><circle mask="url(#m)" cx="50" cy="50" r="40"/>`},
	{"a filled part with a line", `<mask id="m"><rect width="100" height="100" fill="white"/><circle cx="50" cy="50" r="25" fill="white" stroke="black" stroke-width="4"/></mask><rect mask="url(#m)" x="10" y="10" width="60" height="80"/>`},
	{"dots", `<mask id="m"><path d="M20 20h0M50 20h0" stroke="white" stroke-width="20" stroke-linecap="round"/><path d="M30 60h0M70 60h0" stroke="white" stroke-width="20" stroke-linecap="square"/></mask><rect mask="url(#m)" width="100" height="100"/>`},
	{"hidden parts of it", `<mask id="m"><rect width="100" height="100" fill="white"/><g display="none"><circle cx="50" cy="50" r="40"/></g><circle cx="50" cy="50" r="20" visibility="hidden"/><circle cx="50" cy="20" r="10" opacity="0"/></mask><rect mask="url(#m)" x="10" y="10" width="60" height="80"/>`},
	{"no such mask", `<rect mask="url(#gone)" x="10" y="10" width="60" height="80"/>`},
}

// Filled by the even-odd rule, the outlines of masked fills give the picture that the
// renderer paints of the file.
func TestMasksAgainstRenderer(t *testing.T) {
	needRenderer(t)
	for i, f := range maskedFills {
		if !*thorough && i%2 != 0 {
			continue
		}
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			judgeSeenThrough(t, "mask", f.body)
		})
	}
}

// The letters of a mask show and hide too.
func TestMasksOfTextAgainstRenderer(t *testing.T) {
	needRenderer(t)
	onlyGoFont(t)
	for _, body := range []string{
		`<mask id="m"><text x="5" y="65" font-size="42" fill="white">HOLD</text></mask><rect mask="url(#m)" y="20" width="100" height="60"/>`,
		`<mask id="m"><rect width="100" height="100" fill="white"/><text x="5" y="65" font-size="42" stroke="black" stroke-width="3">HOLD</text></mask><rect mask="url(#m)" x="2" y="10" width="96" height="80"/>`,
	} {
		judgeUnited(t, body, goFont)
	}
}

// Strokes are cut where a mask hides them, and keep their curves; a line along the edge
// of what shows is seen.
func TestMaskedStrokes(t *testing.T) {
	const hole = `<mask id="m" maskUnits="userSpaceOnUse"><rect width="100" height="100" fill="white"/><circle cx="50" cy="50" r="20"/></mask>`
	for _, tt := range []struct {
		name, body string
		strokes    int
		length     float64
	}{
		{"through a hole", hole + `<path mask="url(#m)" stroke="red" d="M10 50H90"/>`, 2, 40},
		{"in the hole", hole + `<path stroke="red" d="M0 0h10"/><path mask="url(#m)" stroke="red" d="M40 50H60"/>`, 1, 10},
		{"along the edge of the hole", hole + `<circle mask="url(#m)" fill="none" stroke="red" cx="50" cy="50" r="20"/>`, 1, 40 * math.Pi},
		{"a ring through it", hole + `<circle mask="url(#m)" fill="none" stroke="red" cx="70" cy="50" r="20"/>`, 1, 40 * math.Pi * 2 / 3},
		{"a line too flat for a box", `<path stroke="red" d="M0 0h10"/><mask id="m"><rect width="100" height="100"/></mask><path mask="url(#m)" stroke="red" d="M10 50H90"/>`, 1, 10},
	} {
		d, err := Read("test.svg", []byte(inPage(tt.body)), Options{})
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if l := paths.LengthOf(d.Strokes()); len(d.Strokes()) != tt.strokes || math.Abs(l-tt.length) > 5e-3 {
			t.Errorf("%s: %d strokes of %.5f mm, want %d of %.5f: %s", tt.name, len(d.Strokes()), l, tt.strokes, tt.length, shown(d))
		}
	}
}

// A mask that is not all black and white is told, with the reason, and not applied.
func TestMasksThatCannotBeApplied(t *testing.T) {
	const gradient = `<linearGradient id="g"><stop stop-color="#fff"/></linearGradient>`
	for _, tt := range []struct{ name, mask, why string }{
		{"grey", `<circle r="50" fill="gray"/>`, badSoft},
		{"a colour", `<circle r="50" fill="red"/>`, badSoft},
		{"a colour by hue", `<circle r="50" fill="hsl(0 0% 100%)"/>`, badSoft},
		{"a gradient", gradient + `<circle r="50" fill="url(#g)"/>`, badSoft},
		{"half opaque", `<circle r="50" fill="white" fill-opacity=".5"/>`, badSoft},
		{"in a group half opaque", `<g opacity=".5"><circle r="50" fill="white"/></g>`, badSoft},
		{"a half opaque line", `<path d="M0 0h50" stroke-opacity=".5" stroke="white"/>`, badSoft},
		{"a picture", `<image href="gull.png" width="50" height="50"/>`, badParts},
		{"text without a font", `<text fill="white" y="50">HOLD</text>`, badParts},
		{"markers", `<marker id="a"><path d="M0 0h5v5z"/></marker><path marker-end="url(#a)" d="M0 0h50" stroke="white"/>`, badParts},
		{"of itself", `<circle r="50" fill="white" mask="url(#m)"/>`, badMasked},
		{"a clip path that is not applied", `<clipPath id="c"><text>HOLD</text></clipPath><circle r="50" fill="white" clip-path="url(#c)"/>`, badMasked},
		{"beyond numbers", `<circle r="1e30" fill="white"/>`, badParts},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d, err := Read("test.svg", []byte(inPage(`<mask id="m">`+tt.mask+`</mask><path mask="url(#m)" fill="none" stroke="red" d="M10 10h80v5"/>`)), Options{})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.ContainsFunc(d.Notes, func(n paths.Note) bool {
				return n.Code == "mask-not-applied" && strings.Contains(n.Message, tt.why)
			}) {
				t.Errorf("notes %+v, want %q", d.Notes, tt.why)
			}
			if l := paths.LengthOf(d.Strokes()); l != 85 {
				t.Errorf("%g mm are drawn, want all 85", l)
			}
		})
	}
}
