package svg

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"weftplot/paths"
	"weftplot/paths/bounded/boundedtest"
	"weftplot/paths/svg/text"
)

var goFont = text.Font{File: "goregular.ttf", Data: goregular.TTF}

// lettered reads text with a font.
func lettered(t *testing.T, body string, fonts ...text.Font) paths.Design {
	t.Helper()
	if len(fonts) == 0 {
		fonts = []text.Font{goFont}
	}
	d, err := Read("test.svg", []byte(inPage(body)), Options{Fonts: fonts})
	if err != nil {
		t.Fatalf("%s: %v", body, err)
	}
	checkDesign(t, d)
	for _, s := range d.Strokes() {
		if !s.IsClosed() {
			t.Fatalf("%s: an outline is not closed", body)
		}
	}
	return d
}

// reference sets a text in the Go font by another library, without kerning,
// and returns the left edges of its letters and its whole advance, in em.
func reference(t *testing.T, text string) (left []float64, advance float64) {
	t.Helper()
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		t.Fatal(err)
	}
	var b sfnt.Buffer
	em := fixed.I(2048)
	for _, r := range text {
		id, err := f.GlyphIndex(&b, r)
		if err != nil {
			t.Fatal(err)
		}
		box, wide, err := f.GlyphBounds(&b, id, em, font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		if box.Max.X > box.Min.X {
			left = append(left, advance+float64(box.Min.X)/64/2048)
		}
		advance += float64(wide) / 64 / 2048
	}
	return left, advance
}

// edges returns the left edges of the strokes in mm. Strokes within the width
// of another are left out, so that each letter without dots counts once.
func edges(d paths.Design) []float64 {
	var list []float64
	end := math.Inf(-1)
	for _, s := range d.Strokes() {
		if b := s.Bounds(); b.Min.X > end {
			list = append(list, b.Min.X)
			end = b.Max.X
		}
	}
	return list
}

// Letters are where another library's figures put them.
func TestTextPlaces(t *testing.T) {
	left, wide := reference(t, "HOLD")
	spaced, _ := reference(t, "HO LD")
	at := func(x, em float64, list []float64) []float64 {
		out := make([]float64, len(list))
		for i, v := range list {
			out[i] = x + em*v
		}
		return out
	}
	for _, tt := range []struct {
		name, body string
		want       []float64
	}{
		{"at x", `<text x="10" y="50" font-size="10">HOLD</text>`, at(10, 10, left)},
		{"blanks", "<text x='10' y='50' font-size='10'>\n  HO\n\t LD </text>", at(10, 10, spaced)},
		{"blanks kept", "<text x='10' y='50' font-size='10' xml:space='preserve'>HO LD</text>", at(10, 10, spaced)},
		{"end", `<text x="90" y="50" font-size="10" text-anchor="end">HOLD</text>`, at(90-10*wide, 10, left)},
		{"middle", `<text x="50" y="50" font-size="10" style="text-anchor:middle">HOLD</text>`, at(50-5*wide, 10, left)},
		{"a place each", `<text x="10 30 50 70" y="50" font-size="10">HOLD</text>`, []float64{10 + 10*left[0], 30 + 10*(left[1]-adv(t, "H")), 50 + 10*(left[2]-adv(t, "HO")), 70 + 10*(left[3]-adv(t, "HOL"))}},
		{"moved", `<text x="10" y="50" dx="0 0 5" font-size="10">HOLD</text>`, append(at(10, 10, left[:2]), at(15, 10, left[2:])...)},
		{"tspan", `<text x="10" y="50" font-size="10">HO<tspan dx="5">LD</tspan></text>`, append(at(10, 10, left[:2]), at(15, 10, left[2:])...)},
		{"tspan with a place", `<text x="10" y="50" font-size="10">HO<tspan x="60">LD</tspan></text>`, append(at(10, 10, left[:2]), at(60-10*adv(t, "HO"), 10, left[2:])...)},
		{"letter-spacing", `<text x="10" y="50" font-size="10" letter-spacing="2">HOLD</text>`, []float64{10 + 10*left[0], 12 + 10*left[1], 14 + 10*left[2], 16 + 10*left[3]}},
		{"word-spacing", `<text x="10" y="50" font-size="10" word-spacing="1em">HO LD</text>`, append(at(10, 10, spaced[:2]), at(20, 10, spaced[2:])...)},
		{"textLength", fmt.Sprintf(`<text x="10" y="50" font-size="10" textLength="%v">HOLD</text>`, 10*wide+6), []float64{10 + 10*left[0], 12 + 10*left[1], 14 + 10*left[2], 16 + 10*left[3]}},
		{"textLength with letters", fmt.Sprintf(`<text x="10" y="50" font-size="10" textLength="%v" lengthAdjust="spacingAndGlyphs">HOLD</text>`, 20*wide), at(10, 20, left)},
		{"scaled", `<text transform="scale(2)" x="5" y="20" font-size="10">HOLD</text>`, at(10, 20, left)},
		{"used", `<defs><text id="t" y="50" font-size="10">HOLD</text></defs><use href="#t" x="10"/>`, at(10, 10, left)},
		{"font shorthand", `<text x="10" y="50" style="font:bold 10px Rope">HOLD</text>`, at(10, 10, left)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := edges(lettered(t, tt.body))
			if len(got) != len(tt.want) {
				t.Fatalf("left edges %.3f, want %.3f", got, tt.want)
			}
			for i := range got {
				if math.Abs(got[i]-tt.want[i]) > 0.02 {
					t.Errorf("left edges %.3f, want %.3f", got, tt.want)
				}
			}
		})
	}
}

func adv(t *testing.T, text string) float64 {
	_, wide := reference(t, text)
	return wide
}

// Up and down, and turned.
func TestTextHeights(t *testing.T) {
	bounds := func(body string) paths.Rect { return lettered(t, body).Bounds() }
	base := bounds(`<text x="10" y="50" font-size="10">H</text>`)
	if math.Abs(base.Min.Y-50) > 0.01 || base.Height() < 6.5 || base.Height() > 8 {
		t.Errorf("an H of 10 mm stands from %v to %v; want on the line, and about 7.2 high", base.Min, base.Max)
	}
	for _, tt := range []struct {
		name, body string
		up         float64
	}{
		{"super", `<text x="10" y="50" font-size="10"><tspan baseline-shift="super">H</tspan></text>`, 4},
		{"by length", `<text x="10" y="50" font-size="10"><tspan baseline-shift="-3">H</tspan></text>`, -3},
		{"by percentage", `<text x="10" y="50" font-size="10"><tspan baseline-shift="50%">H</tspan></text>`, 5},
		{"dy", `<text x="10" y="50" dy="2" font-size="10">H</text>`, -2},
	} {
		if got := bounds(tt.body); math.Abs(got.Min.Y-base.Min.Y-tt.up) > 1e-6 {
			t.Errorf("%s: raised by %.3f, want %.3f", tt.name, got.Min.Y-base.Min.Y, tt.up)
		}
	}
	turned := bounds(`<text x="10" y="50" rotate="90" font-size="10">H</text>`)
	if math.Abs(turned.Width()-base.Height()) > 1e-6 || math.Abs(turned.Height()-base.Width()) > 1e-6 || math.Abs(turned.Min.X-10) > 0.01 {
		t.Errorf("turned by 90 degrees it lies from %v to %v", turned.Min, turned.Max)
	}
}

func TestTextFonts(t *testing.T) {
	rope := text.Font{File: "rope.ttf", Family: "Rope", Data: goregular.TTF}
	for _, tt := range []struct {
		name, body, code, says string
		fonts                  []text.Font
	}{
		{"its own family", `<text y="50" font-family="'Go', serif">HOLD</text>`, "text-as-outlines", `font "Go". It reads "HOLD"`, []text.Font{goFont}},
		{"another", `<text y="50" font-family="Twine">HOLD</text>`, "text-as-outlines", `for want of "Twine"`, []text.Font{goFont}},
		{"asked for", `<text y="50" font-family="Twine, Rope">HOLD</text>`, "text-as-outlines", `font "Rope"`, []text.Font{rope}},
		{"none for it", `<text y="50" font-family="Twine">HOLD</text>`, "text-not-drawn", `"Twine"`, []text.Font{rope}},
		{"no letter", `<text y="50">H` + "\u4e00" + `</text>`, "letter-missing", "\u4e00", []text.Font{goFont}},
		{"a path", `<text y="50">H<textPath href="#p">OLD</textPath></text>`, "text-not-drawn", "OLD", []text.Font{goFont}},
		{"downwards", `<text y="50" writing-mode="tb">HOLD</text>`, "text-not-drawn", "downwards", []text.Font{goFont}},
		{"underlined", `<text y="50" text-decoration="underline">HOLD</text>`, "decoration-not-drawn", "underline", []text.Font{goFont}},
		{"middle line", `<text y="50" dominant-baseline="middle">HOLD</text>`, "baseline-not-applied", "middle", []text.Font{goFont}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := lettered(t, `<path d="M0 0h1v1z"/>`+tt.body, tt.fonts...)
			for _, n := range d.Notes {
				if n.Code == tt.code && strings.Contains(n.Message, tt.says) {
					return
				}
			}
			t.Errorf("notes %+v; want %s with %q", d.Notes, tt.code, tt.says)
		})
	}
	for _, data := range [][]byte{nil, []byte("no font"), goregular.TTF[:3000], goregular.TTF[:60_000]} {
		_, err := Read("t.svg", []byte(inPage(`<text>H</text>`)), Options{Fonts: []text.Font{{File: "gull.ttf", Data: data}}})
		if err == nil || !strings.HasPrefix(err.Error(), "gull.ttf: the font cannot be read") {
			t.Errorf("%d bytes of a font: %v", len(data), err)
		}
	}
}

// Text as the renderer sets it, in a font that both have.
func TestTextAgainstRenderer(t *testing.T) {
	needRenderer(t)
	data, err := os.ReadFile("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
	if err != nil {
		t.Skip("the font DejaVu Sans (Debian package fonts-dejavu-core) is not installed")
	}
	opt := Options{Fonts: []text.Font{{File: "DejaVuSans.ttf", Data: data}}}
	for _, f := range lettering {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			compare(t, inPage(`<g font-family="DejaVu Sans" font-size="12" fill="none" stroke="#000" stroke-width=".4" stroke-linejoin="round">`+f.body+`</g>`), opt)
		})
	}
}

var lettering = []struct{ name, body string }{
	{"words", `<text x="5" y="20">Lighthouse</text><text x="5" y="40">AVATAR To.</text><text x="5" y="60">waffle, fjord</text>`},
	{"anchors", `<text x="50" y="20" text-anchor="middle">Skerry</text><text x="95" y="40" text-anchor="end">Skerry</text><text x="95" y="60" text-anchor="end">Sk<tspan font-size="8">er</tspan>ry</text>`},
	{"places", `<text x="5" y="20" dx="3" dy="4">rope<tspan x="50" y="30">gull</tspan><tspan dx="5" dy="-6">tar</tspan></text>`},
	{"tspans", `<text x="5" y="20">sea<tspan x="50" y="25">wall</tspan> <tspan dy="10" font-size="6">pier</tspan></text>`},
	{"spacing", `<text x="5" y="20" letter-spacing="2">tide</text><text x="5" y="40" letter-spacing="-.1em">office</text>`},
	{"turned and sheared", `<text transform="translate(10 60) rotate(-30) skewX(10)">Harbour</text>`},
	{"blanks", "<text x=\"5\" y=\"20\">\n a   <tspan> b</tspan>\n</text><text x=\"5\" y=\"40\" xml:space=\"preserve\">a   b</text>"},
	{"accents", "<text x=\"5\" y=\"20\">G\u00e0r\u0301 \u00e5\u00df \u0416</text>"},
	{"styled by class", `<style>.s{font-size:20px;letter-spacing:1px}</style><text class="s" x="5" y="40">Wick</text>`},
}

// A font damaged anywhere is a fault, or a design that is whole.
func TestDamagedFonts(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	for i := range 60 {
		data := bytes.Clone(goregular.TTF)
		for range 1 + i/4 {
			at := rnd.IntN(len(data))
			if i%2 == 0 {
				at = rnd.IntN(400) // the directory of the tables
			}
			data[at] = byte(rnd.Uint32())
		}
		var d paths.Design
		var err error
		boundedtest.Memory(t, func() {
			d, err = Read("t.svg", []byte(inPage(`<path d="M0 0h1v1z"/><text y="50" letter-spacing="1">Hawsers &amp; buoys 0123</text>`)), Options{Fonts: []text.Font{{File: "gull.ttf", Data: data}}})
		})
		if err != nil {
			if f := boundedtest.Fault(t, err); f.Do == "" {
				t.Errorf("damage %d: %+v", i, f)
			}
			continue
		}
		checkDesign(t, d)
	}
}
