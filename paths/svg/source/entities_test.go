package source

import (
	"strings"
	"testing"
)

// What entities stand for, by the rules of XML 1.0, 4.4 and 4.5: the references to
// characters in them are read when they are declared, the rest when they are used.
func TestEntities(t *testing.T) {
	for _, tt := range []struct{ name, subset, text, want string }{
		{"none", ``, `a &amp; b`, `a &amp; b`},
		{"in text", `<!ENTITY e "one">`, `<t>a &e; b</t>`, `<t>a one b</t>`},
		{"in an attribute", `<!ENTITY e 'fill:none'>`, `<p style="&e;;x:y"/>`, `<p style="fill:none;x:y"/>`},
		{"quotes in an attribute", `<!ENTITY e 'a "b" c'>`, `<p a="&e;">&e;</p>`, `<p a="a &quot;b&quot; c">a "b" c</p>`},
		{"elements", `<!ENTITY e "<p a='&f;'/>"><!ENTITY f "9">`, `<g>&e;&e;</g>`, `<g><p a='9'/><p a='9'/></g>`},
		{"the first declaration holds", `<!ENTITY e "1"><!ENTITY e "2">`, `&e;`, `1`},
		{"references to characters", `<!ENTITY e "&#60;p/&#x3E;">`, `<g>&e;</g>`, `<g><p/></g>`},
		{"escaped twice", `<!ENTITY e "&#38;#60;">`, `<g>&e;</g>`, `<g>&#60;</g>`},
		{"not in comments, CDATA and instructions", `<!ENTITY e "1">`, `<!--&e;--><![CDATA[&e;]]><?x &e;?><g>&e;</g>`, `<!--&e;--><![CDATA[&e;]]><?x &e;?><g>1</g>`},
		{"not declared", `<!ENTITY e "1">`, `&f; &e; &#101; &`, `&f; 1 &#101; &`},
		{"declared in a comment", `<!-- <!ENTITY e "1"> --><!ENTITY f "2">`, `&e;&f;`, `&e;2`},
		{"parameters are left alone", `<!ENTITY % e "1"><!ENTITY f "2">`, `&e;&f;`, `&e;2`},
		{"brackets and quotes", `<!ENTITY e "]>'"><!ENTITY f '"'>`, `&e;&f;`, `]>'"`},
		{"lines keep their numbers", "<!ENTITY e '1\n2'>", `&e;`, `1&#10;2`},
		{"from outside", `<!ENTITY e SYSTEM "file:///etc/passwd"><!ENTITY f PUBLIC "x" "http://x.invalid/">`, `&e;&f;`, OutsideMark + OutsideMark},
	} {
		head := "<!DOCTYPE svg [" + tt.subset + "]>"
		got, err := ExpandEntities("t.svg", []byte(head+tt.text), 1000)
		if err != nil || string(got) != head+tt.want {
			t.Errorf("%s: %q, %v; want %q", tt.name, got, err, head+tt.want)
		}
	}
}

// FuzzEntities holds the expansion to its bound, and to leaving the lines of the file
// where they were.
func FuzzEntities(f *testing.F) {
	f.Add(`<!DOCTYPE s [<!ENTITY a "1">]><s a='&a;'>&a;</s>`)
	f.Add("<!DOCTYPE s [\n<!ENTITY a '&b;&b;'>\n<!ENTITY b \"x\ny\">]><s><!-- &a; --><![CDATA[&a;]]>&a;</s>")
	f.Add(`<!DOCTYPE s [<!ENTITY a SYSTEM "b"><!ENTITY % c "d">]>&a;%c;`)
	f.Fuzz(func(t *testing.T, text string) {
		const limit = 1 << 16
		if len(text) > limit {
			return
		}
		got, err := ExpandEntities("t.svg", []byte(text), limit)
		if err != nil {
			return
		}
		if len(got) > limit || strings.Count(string(got), "\n") != strings.Count(text, "\n") {
			t.Errorf("%d bytes in %d lines became %d in %d", len(text), strings.Count(text, "\n"), len(got), strings.Count(string(got), "\n"))
		}
	})
}
