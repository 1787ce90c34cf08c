package svg

import (
	"bytes"
	"compress/gzip"
	"strings"
	"testing"
	"unicode/utf16"
)

func packed(t *testing.T, text string) string {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := z.Write([]byte(text)); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func utf16Text(text string, big bool) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune(text)) {
		lo, hi := byte(u), byte(u>>8)
		if big {
			lo, hi = hi, lo
		}
		b.WriteByte(lo)
		b.WriteByte(hi)
	}
	return b.String()
}

// Encodings are detected as in XML 1.0, appendix F.
func TestEncodings(t *testing.T) {
	const body = `<svg viewBox="0 0 9 9"><g id="Möwe"><path stroke="red" d="M0 0h1"/></g></svg>`
	const latin = "<svg viewBox=\"0 0 9 9\"><g id=\"M\xf6we\"><path stroke=\"red\" d=\"M0 0h1\"/></g></svg>"
	for _, tt := range []struct{ name, file, layer string }{
		{"plain", body, "Möwe"},
		{"byte-order mark", "\xef\xbb\xbf" + body, "Möwe"},
		{"declared", `<?xml version="1.0" encoding="UTF-8"?>` + body, "Möwe"},
		{"odd version", `<?xml version="1"?>` + body, "Möwe"},
		{"Latin-1", `<?xml version="1.0" encoding="ISO-8859-1" standalone="no"?>` + latin, "Möwe"},
		{"Windows", `<?xml version='1.0' encoding='windows-1252'?>` + latin, "Möwe"},
		{"not what it says", latin, "M\ufffdwe"},
		{"UTF-16, little", "\xff\xfe" + utf16Text(body, false), "Möwe"},
		{"UTF-16, big", "\xfe\xff" + utf16Text(`<?xml version="1.0" encoding="UTF-16"?>`+body, true), "Möwe"},
		{"UTF-16 without a mark", utf16Text(body, false), "Möwe"},
		{"UTF-16 without a mark, big", utf16Text(body, true), "Möwe"},
		{"UTF-16 by name only", `<?xml version="1.0" encoding="utf-16"?>` + body, "Möwe"},
		{"packed", packed(t, body), "Möwe"},
		{"character references", strings.ReplaceAll(body, "ö", "&#xF6;"), "Möwe"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, tt.file)
			if got := d.Layers[0].Name; got != tt.layer {
				t.Errorf("layer %q, want %q", got, tt.layer)
			}
		})
	}
}

// Files as they occur in practice, none of them quite valid.
func TestLooseXML(t *testing.T) {
	const p = `<path stroke="red" d="M0 0h1"/>`
	for _, tt := range []struct{ name, file, notes string }{
		{"no namespace", `<svg viewBox="0 0 9 9">` + p + `</svg>`, ""},
		{"prefix", `<s:svg xmlns:s="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><s:path stroke="red" d="M0 0h1"/></s:svg>`, ""},
		{"undeclared prefix", `<svg:svg viewBox="0 0 9 9"><svg:path stroke="red" d="M0 0h1"/></svg:svg>`, ""},
		{"namespace by an entity", `<!DOCTYPE svg [<!ENTITY ns "http://www.w3.org/2000/svg">]><svg xmlns="&ns;" viewBox="0 0 9 9">` + p + `</svg>`, ""},
		{"entity with elements in it", `<!DOCTYPE svg [<!ENTITY p "<path d='M0 0'/>">]><svg viewBox="0 0 9 9">` + p + `&p;</svg>`, "no-paint"},
		{"entity in an attribute", `<!DOCTYPE svg [<!ENTITY st "stroke:red">]><svg viewBox="0 0 9 9">` + p + `<path style="&st;" d="M0 0h1v1"/></svg>`, ""},
		{"entity from outside", `<!DOCTYPE svg [<!ENTITY st SYSTEM "/etc/passwd">]><svg viewBox="0 0 9 9">` + p + `<path style="&st;" d="M0 0h1v1"/>&st;</svg>`, "entity-not-expanded fills-as-outlines"},
		{"line ends and references in path data", "<svg viewBox='0 0 9 9'><path stroke='red' d='M0&#32;0&#xA;h1'/></svg>", ""},
		{"breaks off", `<svg viewBox="0 0 9 9">` + p + `<g><path stroke="red" d="M`, "file-damaged"},
		{"breaks off in a group", `<svg viewBox="0 0 9 9"><g>` + p, "file-damaged"},
		{"text after the end", `<svg viewBox="0 0 9 9">` + p + `</svg><p>more</p>`, ""},
		{"comment and instruction first", `<!-- a --><?x y?><svg viewBox="0 0 9 9">` + p + `</svg>`, ""},
		{"sheet outside", `<?xml-stylesheet href="a.css"?><svg viewBox="0 0 9 9">` + p + `</svg>`, "style-sheet-not-read"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := read(t, tt.file)
			if got := shown(d); !strings.HasPrefix(got, "0,0 1,0") || codes(d) != tt.notes {
				t.Errorf("drawn %s with notes %q, want 0,0 1,0 with %q", got, codes(d), tt.notes)
			}
		})
	}
}
