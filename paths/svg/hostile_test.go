package svg

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
)

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
		{"only text", svg + "<text>hello</text></svg>", "t.svg: it holds no line work"},
		{"entity bomb in text", entities.String() + "]>" + svg + path + "<text>&a9;</text></svg>", ""},
		{"entity bomb in an attribute", entities.String() + "]>" + svg + path + `<path d="&a9;"/></svg>`, ""},
		{"entity bomb in a style sheet", entities.String() + "]>" + svg + path + `<style>&a9;</style></svg>`, ""},
		{"use bomb", svg + "<defs>" + uses.String() + `</defs><use href="#u9"/></svg>`, "t.svg, line 1, use: use elements make more than 100000 copies"},
		{"groups 50,000 deep", svg + strings.Repeat("<g>", 50_000) + path, "t.svg, line 1, g: elements are nested more than 200 deep"},
		{"uses 50,000 deep", svg + path + deepUses(50_000) + "</svg>", "t.svg, line 1, use #d200: with every copy elements are nested more than 200 deep"},
		{"a million elements", svg + strings.Repeat("<g/>", 1_000_000) + "</svg>", "t.svg, line 1, g: the file has more than 500000 elements"},
		{"ten million segments", svg + `<path d="M0 0` + strings.Repeat("h1", 10_000_000) + `"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces of line"},
		{"ten million moves", svg + `<path d="` + strings.Repeat("M0 0", 10_000_000) + `"/></svg>`, "t.svg: the file is longer than 33554432 bytes"},
		{"moves without lines", svg + `<path d="` + strings.Repeat("M0 0", 2_000_000) + `"/></svg>`, "t.svg, line 1, path: the drawing has more than 1000000 pieces of line"},
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
		{"clips by lines", svg + `<clipPath id="c"><path d="M0 0` + strings.Repeat("l50 100 50-100-100 0", 20_000) + `"/></clipPath><g clip-path="url(#c)">` + strings.Repeat(`<path d="M0 0l100 99"/>`, 20_000) + "</g></svg>", "t.svg, line 1, path: the clip paths take too long to apply"},
		{"one element with many attributes", svg + path + `<path d="M0 0h1" ` + strings.Repeat(`a="" `, 1_000_000) + `/></svg>`, "t.svg, line 1, path: it has more than 1000 attributes"},
		{"cut short", svg + path + `<path d="M0 0`, ""},
	}
}

// deepUses returns groups each of which uses the next.
func deepUses(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<use id="d%d" href="#d%d"/>`, i, i+1)
	}
	return b.String()
}

// Each ends soon and in words, within bounded memory.
func TestHostileFiles(t *testing.T) {
	for _, tt := range hostile(t) {
		t.Run(tt.name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			d, err := Read("t.svg", []byte(tt.file), Options{Dashes: true})
			runtime.ReadMemStats(&after)
			// Allocated in all, most of it garbage at once; what is held is less.
			if got, limit := after.TotalAlloc-before.TotalAlloc, uint64(500<<20); got > limit {
				t.Errorf("%d MB were allocated, more than %d", got>>20, limit>>20)
			}
			switch {
			case tt.fault == "" && err != nil:
				t.Errorf("fault %q, want none", err)
			case tt.fault != "" && err == nil:
				t.Errorf("read as %.200s, want the fault %q", shown(d), tt.fault)
			case err != nil:
				if f := fault(t, err); !strings.HasPrefix(f.Error(), tt.fault) || f.Do == "" {
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
