package svg

import (
	"fmt"
	"strings"
	"testing"
)

// looks lists for each stroke its width and colour: "2 red".
func looks(t *testing.T, body string) string {
	t.Helper()
	d := read(t, inPage(`<g id="all">`+body+`</g>`)) // one layer, so in the order of the file
	var list []string
	for _, l := range d.Layers {
		for _, s := range l.Strokes {
			text := fmt.Sprintf("%.4g %s", s.Width, s.Colour)
			if s.Filled {
				text = "filled " + s.Colour
			}
			list = append(list, text)
		}
	}
	return strings.Join(list, ", ")
}

// The order is SVG 2, Styling, with CSS Cascading 4 (6.1): attributes, then
// rules by specificity and order, then the style attribute, then what is
// important.
func TestCascade(t *testing.T) {
	const p = ` d="M0 0h1v1"/>`
	for _, tt := range []struct{ name, body, want string }{
		{"initial", `<path` + p, "filled black"},
		{"attributes", `<path stroke="red" stroke-width="2"` + p, "2 red"},
		{"inherited", `<g stroke="red" stroke-width="2"><g fill="none"><path` + p + `</g></g>`, "2 red"},
		{"style before attribute", `<path stroke="red" style="stroke:blue"` + p, "1 blue"},
		{"rule before attribute", `<style>path{stroke:blue}</style><path stroke="red"` + p, "1 blue"},
		{"style before rule", `<style>#a{stroke:blue}</style><path id="a" style="stroke: green"` + p, "1 green"},
		{"important rule before style", `<style>path{stroke:blue !important}</style><path style="stroke:green"` + p, "1 blue"},
		{"important style before important rule", `<style>#a{stroke:blue!important}</style><path id="a" style="stroke:green ! important"` + p, "1 green"},
		{"id before class before type", `<style>#a{stroke:red}.b{stroke:green}path{stroke:blue}</style><path id="a" class="b"` + p + `<path class="b"` + p + `<path` + p, "1 red, 1 green, 1 blue"},
		{"later before earlier", `<style>.a{stroke:red}.b{stroke:green}</style><path class="b a"` + p, "1 green"},
		{"two classes before one", `<style>.a.b{stroke:red}.b{stroke:green}</style><path class="b a"` + p, "1 red"},
		{"rules also set groups", `<style>.a{stroke:red}</style><g class="a"><path` + p + `</g>`, "1 red"},
		{"list of selectors", `<style>rect , .a,#q{stroke:red}</style><path class="a"` + p, "1 red"},
		{"unknown selector in a list", `<style>path:hover::x, .a {stroke:red}</style><path class="a"` + p, "1 red"},
		{"descendant and child", `<style>svg g path{stroke:red} g>path{stroke-width:3}</style><g><path` + p + `<a><path` + p + `</a></g>`, "3 red, 1 red"},
		{"backtracking", `<style>.a > .b path{stroke:red}</style><g class="a"><g class="b"><g class="b"><path` + p + `</g></g></g>`, "1 red"},
		{"siblings", `<style>.a + path{stroke:red} .a ~ path{stroke-width:3}</style><g stroke="blue"><path class="a"` + p + `<path` + p + `<path` + p + `</g>`, "1 blue, 3 red, 3 blue"},
		{"attribute selectors", `<style>[k]{stroke:red}[k=v]{stroke-width:2}[k^=v]{stroke-width:3}[k~="y"]{stroke-width:4}[k$='ng']{stroke:blue}[k*=on]{stroke-width:5}[k|=de]{stroke:green}[k=V i]{stroke:navy}</style>` +
			`<path k=""` + p + `<path k="v"` + p + `<path k="vw"` + p + `<path k="x y"` + p + `<path k="long"` + p + `<path k="de-AT"` + p, "1 red, 3 navy, 3 red, 4 red, 5 blue, 1 green"},
		{"pseudo-classes", `<style>path:first-child{stroke:red}path:last-child{stroke:green}path:not(.a){stroke-width:2}:root{stroke:blue}</style><g><path` + p + `<path class="a"` + p + `<path` + p + `</g>`, "2 red, 1 blue, 2 green"},
		{"universal", `<style>*{stroke:red}</style><path` + p, "1 red"},
		{"escapes in names", `<style>.\31 a\.b{stroke:red}</style><path class="1a.b"` + p, "1 red"},
		{"comments and CDATA", `<style><![CDATA[/* a{} */ path /* x */ { /* y */ stroke : /* z */ red ; }]]></style><path` + p, "1 red"},
		{"error in a declaration", `<style>path{stroke:red;stroke:12nonsense;stroke-width:-3;;stroke-width;:;stroke-width:2}</style><path` + p, "2 red"},
		{"error in a rule", `<style>path..a{stroke:blue} ! {} path{stroke:red}</style><path` + p, "1 red"},
		{"at-rules", `<style>@charset "x"; @font-face{src:url(a)} @media print{path{stroke:blue}} @media screen{path{stroke:red}}</style><path` + p, "1 red"},
		{"other kinds of sheet", `<style type="text/other">path{stroke:red}</style><style media="print">path{stroke:blue}</style><path` + p, "filled black"},
		{"inherit", `<g stroke="red"><path style="stroke:inherit"` + p + `<path stroke="none" style="stroke:unset"` + p + `</g>`, "1 red, 1 red"},
		{"initial by name", `<g stroke="red" fill="blue"><path stroke="initial" fill="initial"` + p + `</g>`, "filled black"},
		{"current colour", `<g color="red" stroke="currentColor"><path` + p + `<path color="green"` + p + `</g>`, "1 red, 1 green"},
		{"width in units", `<path stroke="red" stroke-width="96"` + p + `<path stroke="red" style="stroke-width:1in"` + p + `<path stroke="red" stroke-width="1%"` + p + `<path stroke="red" stroke-width="2em" font-size="5"` + p, "96 red, 96 red, 1 red, 10 red"},
		{"font size in units of itself", `<g font-size="10"><g font-size="2em"><path stroke="red" stroke-width="1em"` + p + `<path stroke="red" stroke-width="1em" font-size="50%"` + p + `</g></g>`, "20 red, 10 red"},
		{"width scales", `<g transform="scale(3)"><path stroke="red"` + p + `<path stroke="red" vector-effect="non-scaling-stroke"` + p + `</g>`, "3 red, 0.2646 red"},
		{"colours as written", `<path stroke="#F00"` + p + `<path stroke="rgb(1, 2,3)"` + p + `<path stroke="hsl(120 50% 50%)"` + p + `<path stroke="#abcdef icc-color(x, 1)"` + p, "1 #F00, 1 rgb(1, 2,3), 1 hsl(120 50% 50%), 1 #abcdef icc-color(x, 1)"},
		{"gradients with and without their element", `<linearGradient id="g"/><path stroke="url(#g)"` + p + `<path stroke="url(#none) red"` + p + `<path stroke="url(#none)" fill="blue"` + p, "1 url(#g), 1 red, filled blue"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := looks(t, tt.body); got != tt.want {
				t.Errorf("%s\ngives %s, want %s", tt.body, got, tt.want)
			}
		})
	}
}

// What shows nothing is not drawn.
func TestUnpainted(t *testing.T) {
	for _, attrs := range []string{
		`fill="none"`, `fill="none" stroke="none"`, `fill="none" stroke="red" stroke-width="0"`,
		`fill="none" stroke="red" stroke-opacity="0"`, `fill="transparent"`, `fill="#fff0"`, `fill="#ffffff00"`,
		`fill="rgba(1,2,3,0)"`, `fill="rgb(1 2 3 / 0%)"`, `fill-opacity="0"`, `style="fill:url(#nothing)"`,
	} {
		d := read(t, inPage(`<path `+attrs+` d="M0 0h1v1"/><path d="M5 5h1v1"/>`))
		if got, want := shown(d), "5,5 6,5 6,6 5,5"; got != want || !strings.Contains(codes(d), "no-paint") {
			t.Errorf("%s: drawn %s with notes %s; want %s with no-paint", attrs, got, codes(d), want)
		}
	}
}

// A fill shows its area, so its outline is closed, and a shape without area is
// left out.
func TestFilled(t *testing.T) {
	for _, tt := range []struct{ body, want string }{
		{`<path d="M0 0h5v5"/>`, "0,0 5,0 5,5 0,0"},
		{`<path d="M0 0h5v5z M9 9h1 M1 1h0"/>`, "0,0 5,0 5,5 0,0"},
		{`<polyline points="0 0 5 0 5 5"/><line x2="9"/>`, "0,0 5,0 5,5 0,0"},
		{`<path fill="red" stroke="blue" d="M0 0h5v5"/>`, "0,0 5,0 5,5"},
		{`<circle cx="5" cy="5" r="2"/>`, "7,5 A 5,5 2 360 7,5"},
	} {
		if got := shown(read(t, inPage(tt.body))); got != tt.want {
			t.Errorf("%s is drawn as %s, want %s", tt.body, got, tt.want)
		}
	}
}

// Properties, CSS Custom Properties 1 and CSS Values and Units 3: each path is
// drawn in the width, in mm, that its styles compute.
func TestValues(t *testing.T) {
	for _, tt := range []struct{ name, body, want string }{
		{"var", `<style>:root{--w:3}.a{stroke-width:var(--w)}</style><path class="a" d="M0 0h1"/>`, "3"},
		{"var in an attribute", `<g style="--w:3px"><path stroke-width="var(--w)" d="M0 0h1"/></g>`, "3"},
		{"var, inherited and set anew", `<g style="--w:3"><path style="stroke-width:var(--w)" d="M0 0h1"/><path style="--w:4;stroke-width:var(--w)" d="M0 0h1"/></g>`, "3 4"},
		{"var of a var", `<g style="--a:var(--b);--b:5"><path style="stroke-width:var(--a)" d="M0 0h1"/></g>`, "5"},
		{"var with something instead", `<path style="stroke-width:var(--w, 6)" d="M0 0h1"/><path style="stroke-width:var(--w, var(--v, 7))" d="M0 0h1"/>`, "6 7"},
		{"var without a value", `<g stroke-width="2"><path style="stroke-width:var(--w)" d="M0 0h1"/></g>`, "2"},
		{"var of no use", `<g stroke-width="2"><path style="--w:red;stroke-width:var(--w)" d="M0 0h1"/></g>`, "2"},
		{"var that refers to itself", `<g stroke-width="2" style="--a:var(--b);--b:var(--a)"><path style="stroke-width:var(--a)" d="M0 0h1"/></g>`, "2"},
		{"var by use", `<defs><path id="p" style="stroke-width:var(--w, 1)" d="M0 0h1"/></defs><use href="#p" style="--w:3"/><use href="#p" style="--w:4"/><use href="#p"/>`, "3 4 1"},
		{"names keep their case", `<g style="--W:3;--w:4"><path style="stroke-width:var(--W)" d="M0 0h1"/></g>`, "3"},
		{"calc", `<path style="stroke-width:calc(1px + 2 * 3px)" d="M0 0h1"/><path style="stroke-width:calc((1px + 3px) / 2)" d="M0 0h1"/>`, "7 2"},
		{"calc in an attribute", `<path stroke-width="calc(10% - 7px)" d="M0 0h1"/>`, "3"},
		{"calc with the font size", `<path font-size="4" style="stroke-width:calc(1em + 1px)" d="M0 0h1"/>`, "5"},
		{"calc with var", `<path style="--w:2px;stroke-width:calc(var(--w) * 3)" d="M0 0h1"/>`, "6"},
		{"calc in error", `<g stroke-width="2"><path style="stroke-width:calc(1px +2px)" d="M0 0h1"/><path style="stroke-width:calc(1px * 2px)" d="M0 0h1"/><path style="stroke-width:calc(1px / 0)" d="M0 0h1"/><path style="stroke-width:calc(1px" d="M0 0h1"/></g>`, "2 2 2 2"},
		{"nth-child", `<style>path{stroke-width:1}path:nth-child(2n+1){stroke-width:2}</style><g><path d="M0 0h1"/><path d="M0 0h1"/><path d="M0 0h1"/></g>`, "2 1 2"},
		{"first-of-type", `<style>path{stroke-width:1}path:first-of-type{stroke-width:2}</style><g><rect/><path d="M0 0h1"/><path d="M0 0h1"/></g>`, "2 1"},
		{"not with a list", `<style>path:not(.a, g + g > path){stroke-width:3}</style><g><path class="a" d="M0 0h1"/><path d="M0 0h1"/></g><g><path d="M0 0h1"/></g>`, "1 3 1"},
		{"is and where", `<style>:is(#a, .b) path{stroke-width:3}:where(#a) path{stroke-width:4}.b path{stroke-width:5}</style><g id="a"><path d="M0 0h1"/></g><g class="b"><path d="M0 0h1"/></g>`, "3 3"},
		{"important", `<style>path{stroke-width:3!important}#a{stroke-width:4}</style><path id="a" style="stroke-width:5" d="M0 0h1"/>`, "3"},
		{"initial, inherit, unset", `<g stroke-width="4"><path style="stroke-width:initial" d="M0 0h1"/><path style="stroke-width:inherit" d="M0 0h1"/><path style="stroke-width:unset" d="M0 0h1"/></g>`, "1 4 4"},
		{"media", `<style>@media print{path{stroke-width:5}}@media only screen{path{stroke-width:3}}@media (min-width:1px){path{stroke-width:6}}</style><path d="M0 0h1"/>`, "3"},
		{"non-scaling stroke", `<path transform="scale(4 2)" vector-effect="non-scaling-stroke" stroke-width="96" d="M0 0h1"/>`, "25.4"},
		{"font shorthand", `<g style="font: italic bold 3px/2 'Old Rope', serif"><path stroke-width="1em" d="M0 0h1"/></g>`, "3"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, inPage(`<g fill="none" stroke="#000">`+tt.body+`</g>`))
			var list []string
			for _, l := range d.Layers {
				for _, s := range l.Strokes {
					list = append(list, fmt.Sprintf("%.6g", s.Width))
				}
			}
			if got := strings.Join(list, " "); got != tt.want {
				t.Errorf("widths %s, want %s", got, tt.want)
			}
		})
	}
}

// Geometry in styles, SVG 2, Geometry properties and Paths, the d property.
func TestGeometryInStyles(t *testing.T) {
	for _, tt := range []struct{ name, body, want string }{
		{"d", `<path style="d:path('M0 0h1')"/><style>.a{d:path("M0 0h2")}</style><path class="a" d="M0 0h9"/>`, "0,0 1,0 | 0,0 2,0"},
		{"d none", `<path style="d:none" d="M0 0h9"/><path d="M0 0h1"/>`, "0,0 1,0"},
		{"d in error", `<path style="d:M0 0h9" d="M0 0h1"/>`, "0,0 1,0"},
		{"circle", `<circle style="cx:10px;cy:calc(10px + 10%);r:5"/>`, "15,20 A 10,20 5 360 15,20"},
		{"ellipse", `<ellipse style="rx:2px;ry:2px"/>`, "2,0 A 0,0 2 360 2,0"},
		{"rect", `<style>rect{x:var(--x);y:2px;width:calc(50% - 47px);height:4px}</style><g style="--x:1px"><rect/></g>`, "1,2 4,2 4,6 1,6 1,2"},
		{"inner svg", `<style>svg svg{x:10px;y:10px;width:20px;height:20px}</style><svg viewBox="0 0 1 1"><path d="M0 0h1"/></svg>`, "10,10 30,10"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := shown(read(t, inPage(`<g fill="none" stroke="#000">`+tt.body+`</g>`))); got != tt.want {
				t.Errorf("%s\nis drawn as %s, want %s", tt.body, got, tt.want)
			}
		})
	}
}
