package svg

import "testing"

// A drawing whose attributes, styles and elements are entities is read as if they
// were written out.
func TestEntitiesDrawn(t *testing.T) {
	const head = `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
	<!ENTITY ns_svg "http://www.w3.org/2000/svg">
	<!ENTITY line "fill:none;stroke:#c00;stroke-width:2">
	<!ENTITY leaf "<path style='&line;' d='M10 10h30v20z'/>">
]>
`
	file := func(ns, style, leaf string) string {
		return `<svg xmlns="` + ns + `" width="100mm" height="100mm" viewBox="0 0 100 100"><circle style="` + style + `" cx="50" cy="50" r="20"/>` + leaf + `</svg>`
	}
	const style = "fill:none;stroke:#c00;stroke-width:2"
	want, err := Read("t.svg", []byte(file(svgNamespace, style, `<path style="`+style+`" d="M10 10h30v20z"/>`)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := Read("t.svg", []byte(head+file("&ns_svg;", "&line;", "&leaf;")), Options{})
	if err != nil || shown(got) != shown(want) || codes(got) != codes(want) {
		t.Errorf("read as %s (%s), %v; want %s (%s)", shown(got), codes(got), err, shown(want), codes(want))
	}
	if line := got.Layers[0].Strokes[0].Line; line != 6 {
		t.Errorf("the circle is on line %d, want 6", line)
	}
}
