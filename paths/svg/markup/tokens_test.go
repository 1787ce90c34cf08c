package markup

import (
	"encoding/xml"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// all returns the tokens of a text, each with its line and the place after it, and how
// they end; odd counts those that the decoder left to encoding/xml.
func all(text string, fast bool) (list []string, err error) {
	d := NewDecoder([]byte(text), fast)
	for {
		line := d.Line()
		tok, err := d.Token()
		if err != nil {
			return append(list, fmt.Sprintf("%d, %d: %v", d.Line(), d.Offset(), err)), err
		}
		if _, ok := tok.(xml.Comment); ok {
			tok = comment
		}
		list = append(list, fmt.Sprintf("%d, %d: %T %q", line, d.Offset(), tok, tok))
	}
}

// same checks that the tokens of a text are those of encoding/xml, up to its end or its
// first error. Where the text must be read again by it, those before are.
func same(t testing.TB, text string) {
	t.Helper()
	got, err := all(text, true)
	want, _ := all(text, false)
	if errors.Is(err, ErrCrossed) {
		got = got[:len(got)-1]
		want = want[:min(len(want), len(got))]
	}
	for i := range max(len(got), len(want)) {
		if i >= len(got) || i >= len(want) || got[i] != want[i] {
			t.Fatalf("%q: token %d:\n got %.900q\nwant %.900q", text, i, got[min(i, len(got)):], want[min(i, len(want)):])
		}
	}
}

// documents are pieces of markup that are plain, and such as are not.
var documents = []string{
	`<a/>`, `<a></a>`, `<a b="c" d='e"f'/>`, `<a:b c:d="e" xmlns:c="f" xmlns="g"><h/></a:b>`, `<a>text</a>`, "<a\n b = 'c'\n>\n d\n</a >\n", "<a b='c\r\nd\re'>\r\n f\rg\r\r\n</a>",
	`<!-- c --><a><!----><!-- - --></a>`, `<a><!-- -- --></a>`, `<a><!-- --->`, `<a><!--->`, `<a><!-- `, `<a><![CDATA[ <b>&c; ]] > ]]></a>`, `<a><![CDATA[]]></a>`, "<a><![CDATA[\r\n]]]]></a>", `<a><![CDATA[ ]]`, `<a><![CDATE[ ]]></a>`,
	`<a b="&lt;&gt;&amp;&apos;&quot;"/>`, `<a b="&amp;lt;&amp"/>`, "<a b='&am\rp;&lt;\r\n'/>", `<a b="&lt"/>`, `<a b="&;&#65;"/>`, `<a b='&ampx;'/>`, `<a b="&lt;&amp;&#65;&#x42;&c;& d"/>`, `<a>&lt;&amp;&#65;&c;& &;</a>`, `<a>]]></a>`, `<a b="]]>"/>`, `<a b="<"/>`, `<a b=c/>`, `<a b=/>`, `<a b/>`, `<a b='c'd='e'/>`, `<a b="c`, `<a b=`, `<a b`, `<a`, `<`, `<a>`, `</a>`, `<a></b>`, `<a><b></a></b>`,
	`<a xmlns:b="c"><b:d></e:d></a>`, `<a:b></c:b>`, `<a:b:c/>`, `<:a/>`, `<a:/>`, `<1/>`, `<a.-1 _b="c"/>`, `<é b="c"/>`, `<aé/>`, `<a é="ü">ö</a>`, "<a>\x00</a>", "<a b='\x01'/>", "<a>\uffff</a>", "<a>\ufffd\ufeff\uf8fe</a>", "<a>\xff</a>", "<a b='\xc3'/>", "\ufeff<a/>",
	`<?xml version="1.0" encoding="latin1"?><a/>`, `<?xml version="1.1"?><a/>`, `<a><?b c?></a>`, `<?b`, `<!DOCTYPE a [<!ENTITY b "<c>">]><a>&b;</a>`, `<!DOCTYPE a "b>"><a/>`, `<!DOCTYPE`, `<a / >`, `<a><b/></a></a>`, `<a/><b/>`, `x`, ` `, ``,
	`<xmlns/>`, `<a xmlns="b"><c xmlns=""/><d/></a>`, `<xml:a xml:space="preserve"/>`, `<a xmlns:x="y" x:b="c" z:d="e"/>`, `<a b="1" b="2"/>`, "<a\tb\n=\r'c'\n/>", `<a ="b"/>`, `<a "b"/>`, `<a b"c"/>`, "<a>\n\n<b\n/>\n</a>\n<c></d>", "<a b='&lt;\n&gt;'>\n<c/>",
}

func TestTokens(t *testing.T) {
	for _, text := range documents {
		same(t, text)
	}
	files, err := filepath.Glob("../../../testdata/designs/*.svg")
	if err != nil || len(files) == 0 {
		t.Fatalf("no designs found (%v)", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		same(t, string(data))
	}
}

// Pieces of the documents in any order are read the same, too.
func TestTokensOfPieces(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 4))
	for range 4000 {
		var b strings.Builder
		for range 1 + rnd.IntN(6) {
			text := documents[rnd.IntN(len(documents))]
			from := rnd.IntN(len(text) + 1)
			b.WriteString(text[from : from+rnd.IntN(len(text)+1-from)])
			b.WriteString(documents[rnd.IntN(9)])
		}
		same(t, b.String())
	}
}

// A plain document is not left to encoding/xml: it takes no more than a few allocations
// for a tag.
func TestPlainTokensAreFast(t *testing.T) {
	text := []byte("<svg>\n" + strings.Repeat("<path id='a' d=\"M1 2L3 4\"/>\n", 1000) + "</svg>")
	drain := func(fast bool) func() {
		return func() {
			for d := NewDecoder(text, fast); ; {
				if _, err := d.Token(); err != nil {
					return
				}
			}
		}
	}
	if fast, slow := testing.AllocsPerRun(1, drain(true)), testing.AllocsPerRun(1, drain(false)); fast > 8100 || slow < 12000 {
		t.Errorf("%v allocations for 1,000 tags, %v by encoding/xml", fast, slow)
	}
}

// FuzzTokens holds the tokens to those of encoding/xml.
func FuzzTokens(f *testing.F) {
	for _, text := range documents {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { same(t, text) })
}
