package svg

import (
	"strings"
	"testing"

	"weftplot/paths"
)

// Shapes, SVG 2, Basic shapes; use and symbol, SVG 2, Document structure.
func TestShapes(t *testing.T) {
	for _, tt := range []struct{ name, body, want string }{
		{"line", `<line x1="1" y1="2" x2="3"/>`, "1,2 3,0"},
		{"line without length", `<line/>`, "0,0 0,0"},
		{"polyline", `<polyline points="1,2 3 4,5-6"/>`, "1,2 3,4 5,-6"},
		{"polyline, odd", `<polyline points="1,2 3 4 5"/>`, "1,2 3,4"},
		{"polyline, error", `<polyline points="1,2 3 4 x 5 6"/>`, "1,2 3,4"},
		{"polygon", `<polygon points="0.5.5 3 4 5 6"/>`, "0.5,0.5 3,4 5,6 0.5,0.5"},
		{"polygon of a point", `<polygon points="3 4"/>`, "3,4 3,4"},
		{"rect", `<rect x="1" y="2" width="3" height="4"/>`, "1,2 4,2 4,6 1,6 1,2"},
		{"rect without height", `<rect width="3"/><rect width="-3" height="3"/><path d="M0 0h1"/>`, "0,0 1,0"},
		{"rect, rx alone", `<rect width="10" height="20" rx="2"/>`, "2,0 8,0 A 8,2 2 90 10,2 10,18 A 8,18 2 90 8,20 2,20 A 2,18 2 90 0,18 0,2 A 2,2 2 90 2,0"},
		{"rect, ry alone", `<rect width="10" height="20" ry="2"/>`, "2,0 8,0 A 8,2 2 90 10,2 10,18 A 8,18 2 90 8,20 2,20 A 2,18 2 90 0,18 0,2 A 2,2 2 90 2,0"},
		{"rect, rx negative", `<rect width="10" height="20" rx="-1" ry="2"/>`, "2,0 8,0 A 8,2 2 90 10,2 10,18 A 8,18 2 90 8,20 2,20 A 2,18 2 90 0,18 0,2 A 2,2 2 90 2,0"},
		{"rect, radii cut to half", `<rect width="10" height="10" rx="99"/>`, "5,0 A 5,5 5 90 10,5 A 5,5 5 90 5,10 A 5,5 5 90 0,5 A 5,5 5 90 5,0"},
		{"rect, ry zero", `<rect width="10" height="10" rx="3" ry="0"/>`, "0,0 10,0 10,10 0,10 0,0"},
		{"circle", `<circle cx="10" cy="20" r="5"/>`, "15,20 A 10,20 5 360 15,20"},
		{"circle turned and mirrored", `<circle cx="10" cy="20" r="5" transform="matrix(0 2 2 0 0 0)"/>`, "40,30 A 40,20 10 -360 40,30"},
		{"circle without radius", `<circle/><circle r="-4"/><path d="M0 0h1"/>`, "0,0 1,0"},
		{"ellipse with one radius", `<ellipse cx="10" cy="20" rx="5"/>`, "15,20 A 10,20 5 360 15,20"},
		{"ellipse made a circle", `<ellipse rx="2" ry="4" transform="scale(2 1)"/>`, "4,0 A 0,0 4 360 4,0"},
		{"percent", `<line x1="10%" y1="20%" x2="50%" y2="1in"/>`, "10,20 50,96"},
		{"geometry in a style", `<style>rect{width:3px;height:4px;x:1}</style><rect y="2" width="9"/>`, "1,2 4,2 4,6 1,6 1,2"},
		{"transform list", `<path transform="translate(10 20) scale(2)" d="M0 0h1"/>`, "10,20 12,20"},
		{"rotate about a point", `<path transform="rotate(90 10 10)" d="M10 0h1"/>`, "20,10 20,11"},
		{"skew", `<path transform="skewX(45)" d="M0 0v1"/><path transform="skewY(45)" d="M0 0h1"/>`, "0,0 1,1 | 0,0 1,1"},
		{"transform origin", `<path style="transform:rotate(90deg);transform-origin:10px 10px" d="M10 0h1"/><path transform="scale(2)" transform-origin="left 5" d="M1 5h1"/>`, "20,10 20,11 | 2,5 4,5"},
		{"transform origin by sides", `<svg width="40" height="20" overflow="visible"><path transform="rotate(90)" transform-origin="center" d="M20 10h1"/><path transform="scale(2)" transform-origin="bottom right" d="M39 20h1"/><path transform="scale(2)" transform-origin="25% top 5px" d="M10 0h1"/><path transform="scale(2)" transform-origin="center left" d="M0 10h1"/><path transform="scale(2)" transform-origin="top" d="M20 0h1"/></svg>`, "20,10 20,11 | 38,20 40,20 | 10,0 12,0 | 0,10 2,10 | 20,0 22,0"},
		{"transform origin of what is drawn", `<path style="transform:rotate(180deg);transform-origin:center;transform-box:fill-box" d="M10 10h8v4"/>`, "18,14 10,14 10,10"},
		{"nested", `<g transform="translate(10)"><g transform="scale(2,3)"><path d="M1 1h1"/></g></g>`, "12,3 14,3"},
		{"transform in error", `<path transform="rotate(1 2)" d="M0 0h1"/>`, "0,0 1,0"},
		{"inner svg", `<svg x="10" y="10" width="20" height="10" viewBox="0 0 1 1"><path d="M0 0h1"/></svg>`, "15,10 25,10"},
		{"inner svg, slice", `<svg x="10" y="10" width="20" height="10" viewBox="0 0 1 1" preserveAspectRatio="xMinYMax slice"><path d="M0 1h1"/></svg>`, "10,20 30,20"},
		{"inner svg, cut off", `<svg x="10" y="10" width="20" height="10"><path d="M-5 5h10M25 5h9"/></svg>`, "10,15 15,15"},
		{"use", `<defs><path id="a" d="M0 0h1"/></defs><use href="#a" x="5" y="6"/><use xlink:href="#a" transform="scale(2)" x="5"/>`, "5,6 6,6 | 10,0 12,0"},
		{"use of what is drawn", `<g transform="translate(3)"><path id="a" transform="scale(2)" d="M0 0h1"/></g><use href="#a" x="5"/>`, "3,0 5,0 | 5,0 7,0"},
		{"use of a symbol", `<symbol id="s" viewBox="0 0 2 1"><path d="M0 .5h2"/></symbol><use href="#s" x="10" width="20" height="20"/>`, "10,10 30,10"},
		{"use of an inner svg", `<defs><svg id="s" width="5" height="5" viewBox="0 0 1 1"><path d="M0 .5h1"/></svg></defs><use href="#s"/><use href="#s" y="10" width="10" height="10"/>`, "0,2.5 5,2.5 | 0,15 10,15"},
		{"use within use", `<defs><path id="a" d="M0 0h1"/><g id="b"><use href="#a" x="1"/><use href="#a" x="3"/></g></defs><use href="#b" y="1"/>`, "1,1 2,1 | 3,1 4,1"},
		{"use of itself", `<g id="a"><path d="M0 0h1"/><use href="#a" x="5"/></g>`, "0,0 1,0"},
		{"use in a ring", `<defs><g id="a"><use href="#b"/></g><g id="b"><path d="M0 0h1"/><use href="#a"/></g></defs><use href="#a"/>`, "0,0 1,0"},
		{"switch", `<switch><path requiredExtensions="x" d="M9 9h9"/><path systemLanguage="de, fr" d="M8 8h8"/><path systemLanguage="fr, en-GB" d="M0 0h1"/><path d="M7 7h7"/></switch>`, "0,0 1,0"},
		{"switch past another language", `<switch><foreignObject/><g><path d="M0 0h1"/></g></switch>`, "0,0 1,0"},
		{"switch past an unknown element", `<switch><knot/><path d="M0 0h1"/><path d="M7 7h7"/></switch>`, "0,0 1,0"},
		{"never by themselves", `<clipPath><path d="M9 9h9"/></clipPath><mask><path d="M9 9h9"/></mask><pattern><path d="M9 9h9"/></pattern><marker><path d="M9 9h9"/></marker><symbol><path d="M9 9h9"/></symbol><defs><path d="M9 9h9"/></defs><path d="M0 0h1"/>`, "0,0 1,0"},
		{"other vocabularies", `<x:path xmlns:x="http://example.org/x" d="M9 9h9"/><path d="M0 0h1"/>`, "0,0 1,0"},
	} {
		t.Run(tt.name, func(t *testing.T) { checkShown(t, tt.body, tt.want) })
	}
}

// Clip paths, CSS Masking 1, 5 and 6.
func TestClipPaths(t *testing.T) {
	for _, tt := range []struct{ name, body, want string }{
		{"clip path", `<clipPath id="c"><rect x="2" y="2" width="6" height="6"/></clipPath><path clip-path="url(#c)" d="M0 5h10v-9"/>`, "2,5 8,5"},
		{"clip path keeps curves", `<clipPath id="c"><rect width="100" height="5"/></clipPath><circle clip-path="url(#c)" cx="5" cy="5" r="5"/>`, "0,5 A 5,5 5 180 10,5"},
		{"clip path, hole", `<clipPath id="c"><path clip-rule="evenodd" d="M0 0h10v10h-10zM3 3h4v4h-4z"/></clipPath><path clip-path="url(#c)" d="M0 5h10"/>`, "0,5 3,5 | 7,5 10,5"},
		{"clip path, no hole", `<clipPath id="c"><path d="M0 0h10v10h-10zM3 3h4v4h-4z"/></clipPath><path clip-path="url(#c)" d="M0 5h12"/>`, "0,5 10,5"},
		{"clip path on its edge", `<clipPath id="c"><rect width="10" height="10"/></clipPath><rect clip-path="url(#c)" width="10" height="10"/>`, "0,0 10,0 10,10 0,10 0,0"},
		{"clip path over the seam", `<clipPath id="c"><rect x="1" y="-1" width="99" height="3"/></clipPath><rect clip-path="url(#c)" x="5" width="10" height="10"/>`, "5,2 5,0 15,0 15,2"},
		{"clip path, clipped itself", `<clipPath id="d"><rect width="5" height="10"/></clipPath><clipPath id="c" clip-path="url(#d)"><rect width="10" height="10"/></clipPath><path clip-path="url(#c)" d="M0 5h12"/>`, "0,5 5,5"},
		{"clip path, its shape clipped", `<clipPath id="d"><rect width="5" height="10"/></clipPath><clipPath id="c"><rect x="1" width="10" height="10" clip-path="url(#d)"/><rect x="8" width="1" height="9"/></clipPath><path clip-path="url(#c)" d="M0 5h12"/>`, "1,5 5,5 | 8,5 9,5"},
		{"clip path of nothing", `<clipPath id="c"/><path clip-path="url(#c)" d="M0 5h12"/><path d="M0 0h1"/>`, "0,0 1,0"},
		{"clip path that is not there", `<path clip-path="url(#c)" d="M0 5h12"/>`, "0,5 12,5"},
		{"clip path of itself", `<clipPath id="c" clip-path="url(#c)"><rect width="5" height="5"/></clipPath><path clip-path="url(#c)" d="M0 1h12"/>`, "0,1 5,1"},
		{"clip path by the box of a group", `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><g clip-path="url(#c)"><path d="M10 1h5"/><g transform="translate(10)"><path d="M0 0v3M5 1h5"/></g></g>`, "10,1 15,1 | 10,0 10,3"},
		{"nested clip paths", `<clipPath id="c"><rect width="5" height="10"/></clipPath><clipPath id="d"><rect x="2" width="50" height="10"/></clipPath><g clip-path="url(#c)"><path clip-path="url(#d)" d="M0 5h12"/></g>`, "2,5 5,5"},
	} {
		t.Run(tt.name, func(t *testing.T) { checkShown(t, tt.body, tt.want) })
	}
}

// checkShown reads elements that are stroked and compares the strokes with
// want.
func checkShown(t *testing.T, body, want string) {
	t.Helper()
	if got := shown(read(t, inPage(`<g fill="none" stroke="#000">`+body+`</g>`))); got != want {
		t.Errorf("%s\nis drawn as %s, want %s", body, got, want)
	}
}

func TestDashes(t *testing.T) {
	for _, tt := range []struct{ attrs, want string }{
		{`stroke-dasharray="3 2" d="M0 0h10"`, "0,0 3,0 | 5,0 8,0"},
		{`stroke-dasharray="3" d="M0 0h10"`, "0,0 3,0 | 6,0 9,0"},
		{`stroke-dasharray="3,1,2" d="M0 0h12"`, "0,0 3,0 | 4,0 6,0 | 9,0 10,0"},
		{`stroke-dasharray="3 2" stroke-dashoffset="1" d="M0 0h10"`, "0,0 2,0 | 4,0 7,0 | 9,0 10,0"},
		{`stroke-dasharray="3 2" stroke-dashoffset="-1" d="M0 0h7"`, "1,0 4,0 | 6,0 7,0"},
		{`stroke-dasharray="3 2" d="M0 0h2v2"`, "0,0 2,0 2,1"},
		{`stroke-dasharray="4 2" d="M0 0h5v5h-5z"`, "0,2 0,0 4,0 | 5,1 5,5 | 3,5 0,5 0,4"},
		{`stroke-dasharray="0 5" d="M0 0h12"`, "0,0 0,0 | 5,0 5,0 | 10,0 10,0"},
		{`stroke-dasharray="1 1" pathLength="4" d="M0 0h8"`, "0,0 2,0 | 4,0 6,0"},
		{`stroke-dasharray="3 2" transform="scale(2)" d="M0 0h5"`, "0,0 6,0"},
		{`stroke-dasharray="0" d="M0 0h5"`, "0,0 5,0"},
		{`stroke-dasharray="3 -2" d="M0 0h5"`, "0,0 5,0"},
		{`stroke-dasharray="none" d="M0 0h5"`, "0,0 5,0"},
		{`stroke-dasharray="3 x" d="M0 0h5"`, "0,0 5,0"},
	} {
		d, err := Read("", []byte(inPage(`<path fill="none" stroke="#000" `+tt.attrs+`/>`)), Options{Dashes: true})
		if err != nil {
			t.Fatal(err)
		}
		if got := shown(d); got != tt.want {
			t.Errorf("%s is drawn as %s, want %s", tt.attrs, got, tt.want)
		}
	}
}

// Whatever is not drawn as it is shown has a note, with element and line.
func TestNotes(t *testing.T) {
	const p = `<path stroke="red" fill="none" d="M0 0h1"/>`
	for _, tt := range []struct{ name, body, code, element, says string }{
		{"text", `<text id="t">Hello <tspan>you</tspan></text>`, "text-not-drawn", "text #t", "Hello you"},
		{"image", `<image/>`, "image-not-drawn", "image", "trace"},
		{"foreign", `<foreignObject/>`, "foreign-object-not-drawn", "foreignObject", ""},
		{"unknown element", `<pathh d="M0 0h1"/>`, "element-not-known", "pathh", ""},
		{"mask", `<mask id="m"><circle r="50" fill="gray"/></mask><g mask="url(#m)"><path d="M0 0h9v9"/></g>`, "mask-not-applied", "g", ""},
		{"filter", `<filter id="m"/><g filter="url(#m)"/>`, "filter-not-applied", "g", ""},
		{"gradient", `<radialGradient id="m"/><path fill="url(#m)" d="M0 0h1v1"/>`, "paint-not-drawn", "path", "fill is a radialGradient"},
		{"dashes", `<path stroke="red" stroke-dasharray="1" d="M0 0h1"/>`, "dashes-drawn-whole", "path", ""},
		{"marker", `<marker id="m"/><path stroke="red" style="marker:url(#m)" d="M0 0h1"/>`, "marker-not-drawn", "path", ""},
		{"animation", `<path stroke="red" d="M0 0h1"><animate/></path>`, "animation-not-drawn", "path", ""},
		{"display", `<g id="x" display="none"><path d="M0 0"/></g>`, "hidden", "g #x", "display"},
		{"hidden layer", `<g y:label="Draft" style="display:none"><path d="M0 0"/></g>`, "hidden", `g "Draft"`, `group "Draft"`},
		{"in a layer", `<g id="g9" y:label="Words"><text id="t">a</text></g>`, "text-not-drawn", `text #t in layer "Words"`, ""},
		{"visibility", `<path visibility="hidden" d="M0 0"/>`, "hidden", "path", "visibility"},
		{"opacity", `<path opacity="0" d="M0 0"/>`, "hidden", "path", "opacity"},
		{"language", `<path systemLanguage="de" d="M0 0"/>`, "condition-not-met", "path", ""},
		{"fills", `<path d="M0 0h1v1"/><path d="M0 0h1v1"/>`, "fills-as-outlines", "path", "2 shapes are"},
		{"path data", `<path id="x" stroke="red" d="M0 0h1 2 3k"/>`, "shape-damaged", "path #x", `at byte 11 stands "k"`},
		{"length", `<circle stroke="red" r="5 apples"/>`, "shape-damaged", "circle", `"5 apples"`},
		{"too far", `<path stroke="red" d="M0 0h1e300"/>`, "out-of-range", "path", "1e+07"},
		{"infinite", `<path stroke="red" d="M0 0h1e999"/>`, "out-of-range", "path", ""},
		{"transform", `<path stroke="red" transform="turn(4)" d="M0 0h1"/>`, "transform-unreadable", "path", "turn"},
		{"flat", `<path stroke="red" transform="scale(0)" d="M0 0h1"/>`, "no-extent", "path", ""},
		{"use of nothing", `<use href="#x"/>`, "use-target-missing", "use", `"x"`},
		{"use of a file", `<use href="a.svg#x"/>`, "use-outside-file", "use", ""},
		{"use of itself", `<use id="x" href="#x"/>`, "use-cycle", "use #x", ""},
		{"clipped", `<clipPath id="c"/><path stroke="red" clip-path="url(#c)" d="M0 0h1"/>`, "clipped-away", "path", ""},
		{"clipped by text", `<clipPath id="c"><text/></clipPath><path stroke="red" clip-path="url(#c)" d="M0 0h1"/>`, "clip-not-applied", "path", ""},
		{"clipped by a function", `<path stroke="red" clip-path="circle(5px)" d="M0 0h1"/>`, "clip-not-applied", "path", "circle(5px)"},
		{"outside sheet", `<style>@import url(x.css);</style>`, "style-sheet-not-read", "style", ""},
		{"selector", `<style>path:has(g){fill:none}</style>`, "selector-not-read", "style", "path:has(g)"},
		{"print rules", `<style>@media print{path{fill:none}}</style>`, "media-rule-not-read", "style", `"print"`},
		{"off the page", `<path stroke="red" d="M0 0h-7"/>`, "outside-page", "svg", "7 mm on the left"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, inPage(p+"\n"+tt.body))
			line := 2
			if tt.element == "svg" {
				line = 1
			}
			for _, n := range d.Notes {
				if n.Code == tt.code {
					if n.Element != tt.element || n.Line != line || !strings.Contains(n.Message, tt.says) || !strings.HasSuffix(n.Message, ".") {
						t.Errorf("note %+v; want element %q, line %d, a sentence with %q", n, tt.element, line, tt.says)
					}
					return
				}
			}
			t.Errorf("notes %+v; want one with code %s", d.Notes, tt.code)
		})
	}
}

// A kind of note is there once, with how many it stands for and some of their lines and
// places.
func TestNotesAreRolledUp(t *testing.T) {
	d := read(t, inPage(`<path d="M0 0h1v1"/>`+"\n"+strings.Repeat(`<text x="30" y="20">Skerry</text>`+"\n", 1000)))
	if got := codes(d); got != "text-not-drawn fills-as-outlines" {
		t.Fatalf("notes %s", got)
	}
	n := d.Notes[0]
	if !strings.HasSuffix(n.Message, "It reads \"Skerry\".") || n.More != "The same goes for 999 more elements, the next on line 3, 4, 5, 6, 7, 8, 9, 10." || n.Line != 2 {
		t.Errorf("%+v", n)
	}
	if len(n.Places) != maxNotePlaces || n.Places[0].At != (paths.Point{X: 30, Y: 80}) || n.Places[1].Line != 3 {
		t.Errorf("places %v", n.Places)
	}
	two := read(t, inPage(`<text>a</text><g transform="translate(10 0)"><image width="20" height="10"/>`+"\n"+`<image x="9" width="20" height="10"/></g><path stroke="red" d="M0 0h1"/>`))
	if n := two.Notes[1]; n.More != "The same goes for 1 more element on line 2." || n.Places[1].At != (paths.Point{X: 29, Y: 95}) {
		t.Errorf("%+v", n)
	}
}

// Lines beyond the page by less than a pen could show are not told of.
func TestOutsidePageHasAFloor(t *testing.T) {
	for by, want := range map[string]string{"0.0001": "", "0.04": "", "0.06": "outside-page"} {
		if got := codes(read(t, inPage(`<path stroke="red" d="M5 5H-`+by+`"/>`))); got != want {
			t.Errorf("beyond by %s mm: notes %q, want %q", by, got, want)
		}
	}
}

func TestLayers(t *testing.T) {
	const p = `<path d="M0 0h1v1"/>`
	for _, tt := range []struct{ name, body, want string }{
		{"drawing program", `<g x:groupmode="layer" x:label="Border" xmlns:x="http://example.org/x">` + p + `<g id="inner">` + p + `</g></g><g y:groupmode="layer" id="l2">` + p + `</g>` + p, "Border:2 l2:1 unlayered:1"},
		{"another drawing program", `<switch><g><g y:layer="yes" id="Layer_1">` + p + `</g></g></switch>`, "Layer_1:1"},
		{"layer within a layer", `<g y:groupmode="layer" id="a">` + p + `<g y:groupmode="layer" id="b">` + p + `</g>` + p + `</g>`, "a:2 b:1"},
		{"named groups", `<g id="a">` + p + `</g><g id="b"><g id="c">` + p + `</g></g><g id="none"/>` + p, "a:1 b:1 unlayered:1"},
		{"title", `<g id="g83"><title>Herring</title>` + p + `</g>`, "Herring:1"},
		{"label over title", `<g id="g83" y:label="Border"><title>x</title>` + p + `</g>`, "Border:1"},
		{"id with escaped characters", `<g id="Ebene_x0020_2">` + p + `</g><g id="_x31_">` + p + `</g><g id="a_x0a_">` + p + `</g>`, "Ebene 2:1 1:1 a_x0a_:1"},
		{"one name", `<g y:label="a">` + p + `</g><g y:label="a">` + p + `</g>`, "a:2"},
		{"colours", `<path stroke="red" d="M0 0h1"/><path stroke="#000" d="M0 0h1"/><path stroke="#FF0000" d="M0 0h1"/><path stroke="rgb(255, 0, 0)" d="M0 0h1"/>` + p + `<path stroke="rgb(100%,0%,0%)" d="M0 0h1"/>`, "red:4 #000:2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var list []string
			for _, l := range read(t, inPage(tt.body)).Layers {
				list = append(list, l.Name+":"+string(rune('0'+len(l.Strokes))))
			}
			if got := strings.Join(list, " "); got != tt.want {
				t.Errorf("layers %s, want %s", got, tt.want)
			}
		})
	}
}

func TestStrokeSource(t *testing.T) {
	d := read(t, "<svg viewBox='0 0 9 9'>\n<defs>\n<circle id='c' r='2' stroke='navy' stroke-width='.5'/>\n</defs>\n\n<use\nhref='#c'/></svg>")
	if s := d.Layers[0].Strokes[0]; s.Element != "circle" || s.Line != 3 || s.Width != 0.5 || s.Colour != "navy" || s.Filled {
		t.Errorf("stroke says %+v; want circle of line 3, 0.5 wide, navy", s)
	}
}
