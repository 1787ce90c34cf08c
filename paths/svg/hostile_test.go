package svg

import (
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
	"weftplot/paths/svg/text"
)

var thorough = flag.Bool("thorough", false, "try hostile files, too, that meet a limit which another file meets sooner")

// sisters meet the same limit, in the same words, as another hostile file does.
var sisters = []string{"rules by elements", "many variables", "masks by fills", "a mask of dashes", "text used often", "masks that double", "a mask of huge lines", "moves without lines"}

// hostile are files that ask for too much, or hold nothing, with how the
// reading must end: the beginning of the fault, or "" when it must succeed.
func hostile(t *testing.T) []struct{ name, file, fault string } {
	const svg = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" fill="none" stroke="#000">`
	const path = `<path d="M0 0h1"/>`
	var entities, uses strings.Builder
	entities.WriteString(`<!DOCTYPE svg [<!ENTITY a0 "lol">`)
	uses.WriteString(`<g id="u0">` + path + `</g>`)
	for i := 1; i < 10; i++ {
		fmt.Fprintf(&entities, `<!ENTITY a%d "%s">`, i, strings.Repeat(fmt.Sprintf("&a%d;", i-1), 10))
		fmt.Fprintf(&uses, `<g id="u%d">%s</g>`, i, strings.Repeat(fmt.Sprintf(`<use href="#u%d"/>`, i-1), 10))
	}
	return []struct{ name, file, fault string }{
		{"empty", "", "t.svg: the file is empty"},
		{"blank", " \n\t", "t.svg: the file is empty"},
		{"not SVG", "hello", "t.svg: it is not SVG: no svg element is found"},
		{"HTML", "<html><svg/></html>", `t.svg, line 1: it is not SVG: its first element is "html"`},
		{"bytes", "\x89PNG\r\n\x1a\n\x00\x00", "t.svg: it is not SVG"},
		{"damaged gzip", "\x1f\x8bxxxxxxxxxxxxx", "t.svg: the packed file is damaged"},
		{"cut gzip", packed(t, svg+strings.Repeat(path, 100)+"</svg>")[:60], "t.svg: the packed file is damaged"},
		{"gzip bomb", packed(t, svg+strings.Repeat(" ", 40<<20)+path+"</svg>"), "t.svg: the file is longer than 33554432 bytes"},
		{"unknown encoding", `<?xml version="1.0" encoding="x-none"?><svg/>`, `t.svg: the encoding "x-none" is not known`},
		{"nothing in it", svg + "</svg>", "t.svg: it holds no line work"},
		{"only a picture", svg + "<image/></svg>", "t.svg: it holds no line work"},
		{"entity bomb in text", entities.String() + "]>" + svg + path + "<text>&a9;</text></svg>", "t.svg: with its entities expanded the file is longer than 67108864 bytes"},
		{"entities nine deep", `<!DOCTYPE svg [<!ENTITY a9 "b">` + chainedEntities(9) + "]>" + svg + path + "<text>&a0;</text></svg>", "t.svg: its entities use one another more than 8 deep"},
		{"entities eight deep", `<!DOCTYPE svg [<!ENTITY a7 "b">` + chainedEntities(7) + "]>" + svg + path + "<text>&a0;</text></svg>", ""},
		{"entity bomb in an attribute", entities.String() + "]>" + svg + path + `<path d="&a7;&a7;"/><path d="&a7;"/></svg>`, "t.svg: with its entities expanded the file is longer than 67108864 bytes"},
		{"entity bomb in a style sheet", entities.String() + "]>" + svg + path + `<style>&a7;&a7;&a7;</style></svg>`, "t.svg: with its entities expanded the file is longer than 67108864 bytes"},
		{"an entity of itself", `<!DOCTYPE svg [<!ENTITY a "&b;"><!ENTITY b "&a;">]>` + svg + path + `&a;</svg>`, "t.svg: its entities use one another more than 8 deep, or in a ring"},
		{"many entities", `<!DOCTYPE svg [` + strings.Repeat(`<!ENTITY a "b">`, 50_000) + "]>" + svg + path + `&a;</svg>`, ""},
		{"a document type without end", `<!DOCTYPE svg [<!ENTITY a "b" ` + strings.Repeat(`"'<!ENTITY<!--`, 100_000) + svg + path, "t.svg: it is not SVG"},
		{"use bomb", svg + "<defs>" + uses.String() + `</defs><use href="#u9"/></svg>`, "t.svg, line 1, use: use elements make more than 100000 copies"},
		{"groups 50,000 deep", svg + strings.Repeat("<g>", 50_000) + path, "t.svg, line 1, g: elements are nested more than 200 deep"},
		{"uses 50,000 deep", svg + path + deepUses(50_000) + "</svg>", "t.svg, line 1, use #d200: with every copy elements are nested more than 200 deep"},
		{"many elements", svg + strings.Repeat("<g/>", 500_001) + "</svg>", "t.svg, line 1, g: the file has more than 500000 elements"},
		{"two million segments", svg + `<path d="M0 0` + strings.Repeat("h1", 2_000_000) + `"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces of line"},
		{"ten million moves", svg + `<path d="` + strings.Repeat("M0 0", 10_000_000) + `"/></svg>`, "t.svg: the file is longer than 33554432 bytes"},
		{"moves without lines", svg + `<path d="` + strings.Repeat("M0 0", 1_100_000) + `"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces of line"},
		{"long data used often", svg + `<defs><path id="a" d="M0 0h1` + strings.Repeat(" ", 1<<20) + `"/></defs>` + strings.Repeat(`<use href="#a"/>`, 50_000) + "</svg>", "t.svg, line 1, path #a: with every copy the drawing is longer than"},
		{"dashes without end", svg + `<path stroke-dasharray="1e-300" d="M0 0h100"/></svg>`, "t.svg, line 1, path: its dashes come to more than 1000000 pieces"},
		{"numbers that are none", svg + path + `<path d="M0 0 LNaN 5 L5 Infinity"/><circle r="nan"/><path d="M1e300 0L1e-300 1e999"/></svg>`, ""},
		{"a page too large", `<svg width="1e300mm" height="1mm" viewBox="0 0 1 1">` + path + "</svg>", "t.svg, line 1, svg: the page is larger"},
		{"a viewBox too small", `<svg width="1mm" height="1mm" viewBox="0 0 1e-300 1e-300"><path stroke="red" d="M0 0h1"/></svg>`, "t.svg: it holds no line work"},
		{"transforms beyond numbers", svg + path + strings.Repeat(`<g transform="scale(1e200)">`, 3) + path + `</g></g></g></svg>`, ""},
		{"selectors that backtrack", svg + "<style>z " + strings.Repeat("g ", 25) + "path{fill:red}</style>" + strings.Repeat("<g>", 100) + strings.Repeat(path, 1000), "t.svg, line 1, path: the style sheets take too long to apply"},
		{"rules by elements", svg + "<style>" + strings.Repeat("path{fill:red}", 40_000) + "</style>" + strings.Repeat(path, 50_000) + "</svg>", "t.svg, line 1, path: the style sheets take too long to apply"},
		{"rules without end", svg + "<style>" + strings.Repeat("a{fill:red}", 100_000) + "</style>" + path + "</svg>", "t.svg, line 1, style: the style sheets have more than 50000 rules"},
		{"style without end", svg + path + `<path d="M0 0h1" style="` + strings.Repeat("a;", 1_000_000) + `"/></svg>`, "t.svg, line 1, path: its style is longer than 1000000 words"},
		{"style sheet in crumbs", svg + "<style>" + strings.Repeat("<![CDATA[a]]>", 300_000) + "</style>" + path + "</svg>", ""},
		{"clip path of huge curves", svg + `<clipPath id="c"><path d="M0 0` + strings.Repeat("c9e6 0 0 9e6 0 0", 1000) + `"/></clipPath><path clip-path="url(#c)" d="M0 0h1"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces"},
		{"clips by lines", svg + `<clipPath id="c"><path d="M0 0` + strings.Repeat("l50 100 50-100-100 0", 20_000) + `"/></clipPath><g clip-path="url(#c)">` + strings.Repeat(`<path d="M0 0l100 99"/>`, 20_000) + "</g></svg>", "t.svg, line 1, path: the clip paths and masks take too long to apply"},
		{"one element with many attributes", svg + path + `<path d="M0 0h1" ` + strings.Repeat(`a="" `, 100_000) + `/></svg>`, "t.svg, line 1, path: it has more than 1000 attributes"},
		{"text without end", svg + path + "<text>" + strings.Repeat("a", 10<<20) + "</text></svg>", "t.svg, line 1, text: the text has more than 20000 characters"},
		{"text in crumbs", svg + path + "<text>" + strings.Repeat("<![CDATA[a]]>", 15_000) + "</text></svg>", ""},
		{"a place for every letter", svg + path + `<text y="50" x="` + strings.Repeat("1 ", 5000) + `">` + strings.Repeat("lo", 2500) + "</text></svg>", ""},
		{"text used often", svg + `<defs><text id="t">` + strings.Repeat("a", 15_000) + `</text></defs>` + strings.Repeat(`<use href="#t"/>`, 1000) + "</svg>", "t.svg, line 1, text #t: the drawing has more than 1000000 pieces of line"},
		{"clip paths 5,000 deep", svg + path + deepClips(5000) + `<g clip-path="url(#c4999)">` + path + "</g></svg>", "t.svg, line 1, rect: with every copy elements are nested more than 200 deep"},
		{"masks 5,000 deep", svg + path + strings.NewReplacer("clipPath", "mask", "clip-path", "mask").Replace(deepClips(5000)) + `<g mask="url(#c4999)">` + path + "</g></svg>", ""},
		{"masks that double", svg + doublingMasks(30) + `<path mask="url(#m29)" d="M0 0h9v9"/></svg>`, "t.svg, line 1, rect: the drawing has more than 1000000 pieces of line"},
		{"masks in a ring", svg + path + doublingMasks(3) + `<mask id="m-1"><rect mask="url(#m2)" width="9" height="9" fill="white"/></mask><g mask="url(#m2)">` + path + "</g></svg>", ""},
		{"a mask of huge lines", svg + path + `<mask id="c"><path stroke="white" stroke-width="1e-3" d="M0 0` + strings.Repeat("c9e6 0 0 9e6 0 0", 1000) + `"/></mask><path mask="url(#c)" d="M0 0h1v1"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces"},
		{"a mask of dashes", svg + path + `<mask id="c"><path stroke="white" stroke-linecap="round" stroke-dasharray=".0005" d="M0 0h100"/></mask><path mask="url(#c)" d="M0 0h1v1"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces"},
		{"masks by fills", svg + `<mask id="c"><path stroke="white" d="M0 0` + strings.Repeat("l50 100 50-100-100 0", 2_000) + `"/></mask>` + strings.Repeat(`<path mask="url(#c)" d="M0 0l100 99v9z" fill="red"/>`, 2_000) + "</svg>", "t.svg, line 1, path: the clip paths and masks take too long to apply"},
		{"variables that double", svg + `<g style="--a0:lollollol;` + doublingVars(30) + `stroke-dasharray:var(--a29)">` + strings.Repeat(path, 1000) + "</g></svg>", ""},
		{"many variables", svg + `<g style="` + manyVars(20_000) + `">` + strings.Repeat(`<path style="--x:1;stroke-width:var(--x)" d="M0 0h1"/>`, 10_000) + "</g></svg>", "t.svg, line 1, path: the style sheets take too long to apply"},
		{"selectors in selectors", svg + "<style>path:not(" + strings.Repeat("g g g path,", 2000) + "a){fill:red}</style>" + strings.Repeat("<g>", 100) + strings.Repeat(path, 5000), ""},
		{"brackets in a sum", svg + path + `<path d="M0 0h1" style="stroke-width:calc` + strings.Repeat("(", 100_000) + `"/></svg>`, ""},
		{"cut short", svg + path + `<path d="M0 0`, ""},
	}
}

// chainedEntities declares n entities each of which is the next.
func chainedEntities(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<!ENTITY a%d "&a%d;">`, i, i+1)
	}
	return b.String()
}

// deepUses returns groups each of which uses the next.
func deepUses(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<use id="d%d" href="#d%d"/>`, i, i+1)
	}
	return b.String()
}

// deepClips returns clip paths each of which is clipped by the one before.
func deepClips(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<clipPath id="c%d" clip-path="url(#c%d)"><rect width="9" height="9"/></clipPath>`, i, i-1)
	}
	return b.String()
}

// doublingMasks returns masks each of which masks two parts of the next.
func doublingMasks(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<mask id="m%d"><rect width="9" height="9" fill="white" mask="url(#m%d)"/><rect transform="translate(0 %g)" width="9" height="9" mask="url(#m%[2]d)"/></mask>`, i, i-1, math.Ldexp(1, -i-1))
	}
	return b.String()
}

// doublingVars returns custom properties each of which holds the one before ten
// times.
func doublingVars(n int) string {
	var b strings.Builder
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "--a%d:%s;", i, strings.Repeat(fmt.Sprintf("var(--a%d) ", i-1), 10))
	}
	return b.String()
}

func manyVars(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "--v%d:%d;", i, i)
	}
	return b.String()
}

// Each is read soon and within bounded memory, or refused with an error in
// words.
func TestHostileFiles(t *testing.T) {
	for _, tt := range hostile(t) {
		t.Run(tt.name, func(t *testing.T) {
			if !*thorough && slices.Contains(sisters, tt.name) {
				t.Skip("-thorough tries it")
			}
			var d paths.Design
			var err error
			boundedtest.Memory(t, func() {
				d, err = Read("t.svg", []byte(tt.file), Options{Dashes: true, Unite: true, Fonts: []text.Font{goFont}})
			})
			switch {
			case tt.fault == "" && err != nil:
				t.Errorf("fault %q, want none", err)
			case tt.fault != "" && err == nil:
				t.Errorf("read as %.200s, want the fault %q", shown(d), tt.fault)
			case err != nil:
				if f := boundedtest.Fault(t, err); !strings.HasPrefix(f.Error(), tt.fault) || f.Do == "" {
					t.Errorf("fault %q (do: %q), want %q", f, f.Do, tt.fault)
				}
			}
			for _, s := range d.Strokes() {
				if err := s.Validate(); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
}

// A file that breaks off anywhere is a fault, or a design of what came before.
func TestBrokenOffAnywhere(t *testing.T) {
	file := inPage(`<!-- a --><style>.a{stroke:red;stroke-width:calc(1px + 2%)}</style><defs><g id="g"><path d="M0 0c1 2 3 4 5 6z"/></g></defs>` +
		`<clipPath id="c"><circle r="9"/></clipPath><g class="a" clip-path="url(#c)" transform="rotate(5) scale(2)"><use href="#g" x="3"/>` +
		`<text x="1 2" y="9">Sk&amp;<tspan dx="1">er</tspan>ry</text></g><rect width="20" height="9" rx="2"/><rect x="5" width="20" height="9"/>`)
	for n := range len(file) {
		d, err := Read("t.svg", []byte(file[:n]), Options{Unite: true, Dashes: true, Fonts: []text.Font{goFont}})
		if err != nil {
			if f := boundedtest.Fault(t, err); f.What == "" || f.Do == "" {
				t.Fatalf("cut at byte %d: %+v", n, f)
			}
			continue
		}
		checkDesign(t, d)
	}
}
