package svg

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"weftplot/paths"
	"weftplot/paths/svg/text"
)

// clippedFills are filled shapes in one colour under clips of every kind.
var clippedFills = []struct{ name, body string }{
	{"a circle", `<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><rect clip-path="url(#c)" width="60" height="100"/>`},
	{"a flag in a disc", `<clipPath id="c"><circle cx="50" cy="50" r="40"/></clipPath><g clip-path="url(#c)"><path d="M0 0h100v25h-100zM0 40h100v20h-100zM0 75h100v25h-100z"/></g>`},
	{"wholly covered", `<clipPath id="c"><path d="M50 5L61 38 95 38 68 59 78 93 50 72 22 93 32 59 5 38 39 38z"/></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"a star within itself", `<clipPath id="c"><path d="M50 5L80 95 5 35H95L20 95z"/></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"clip-rule", `<clipPath id="c"><path clip-rule="evenodd" d="M50 5L80 95 5 35H95L20 95z"/></clipPath><rect clip-path="url(#c)" y="20" width="100" height="60"/>`},
	{"fill-rule", `<clipPath id="c"><ellipse cx="50" cy="50" rx="45" ry="25"/></clipPath><path clip-path="url(#c)" fill-rule="evenodd" d="M50 5L80 95 5 35H95L20 95z"/>`},
	{"nested", `<clipPath id="c"><circle cx="40" cy="50" r="30"/></clipPath><clipPath id="d"><circle cx="60" cy="50" r="30"/></clipPath><g clip-path="url(#c)"><rect clip-path="url(#d)" width="100" height="50"/></g>`},
	{"several shapes", `<clipPath id="c"><circle cx="35" cy="40" r="25"/><circle cx="65" cy="40" r="25"/><rect x="45" y="50" width="10" height="45"/></clipPath><rect clip-path="url(#c)" y="20" width="100" height="70"/>`},
	{"use in a clip path", `<defs><path id="k" d="M0 0h30l10 30-40 20z"/></defs><clipPath id="c"><use href="#k" x="10" y="10"/><use href="#k" transform="rotate(30 70 60)" x="50" y="50"/></clipPath><circle clip-path="url(#c)" cx="50" cy="50" r="42"/>`},
	{"copies of a clipped shape", `<clipPath id="c"><circle cx="20" cy="20" r="14"/></clipPath><g id="a"><path clip-path="url(#c)" d="M0 20h40v20h-40z"/></g><use href="#a" x="45"/><use href="#a" transform="translate(20 50) scale(1.5 .8)"/>`},
	{"clipped copies", `<clipPath id="c"><circle cx="20" cy="20" r="14"/></clipPath><defs><path id="a" d="M0 20h40v20h-40z"/></defs><use href="#a" clip-path="url(#c)"/><use href="#a" clip-path="url(#c)" transform="translate(50 40)"/>`},
	{"an inner picture", `<svg x="20" y="20" width="40" height="40"><circle cx="40" cy="20" r="25"/></svg><svg x="60" y="60" width="30" height="30" viewBox="0 0 10 10" overflow="visible"><circle cx="5" cy="0" r="6"/></svg>`},
	{"a sliced inner picture", `<svg x="10" y="10" width="80" height="30" viewBox="0 0 10 10" preserveAspectRatio="xMidYMid slice"><circle cx="5" cy="5" r="4"/></svg>`},
	{"by the bounding box", `<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".5"/></clipPath><rect clip-path="url(#c)" x="10" y="10" width="80" height="40"/><path clip-path="url(#c)" d="M20 60h60l-30 35z"/>`},
	{"by the bounding box of a group", `<clipPath id="c" clipPathUnits="objectBoundingBox"><path d="M0 .5L.5 0 1 .5 .5 1z"/></clipPath><g clip-path="url(#c)"><rect x="10" y="10" width="30" height="80"/><rect x="60" y="30" width="30" height="60"/></g>`},
	{"moved and turned", `<clipPath id="c" transform="translate(5 5) rotate(10)"><circle cx="50" cy="40" r="30"/><rect x="10" y="5" width="20" height="20" transform="skewX(10)"/></clipPath><g transform="rotate(5 50 50)"><rect clip-path="url(#c)" x="5" y="10" width="70" height="60"/></g>`},
	{"a hole in the clip", `<clipPath id="c"><path clip-rule="evenodd" d="M10 10h80v80h-80zM50 20a30 30 0 1 0 .01 0z"/></clipPath><ellipse clip-path="url(#c)" cx="50" cy="50" rx="48" ry="36"/>`},
	{"a ring through a ring", `<clipPath id="c"><path clip-rule="evenodd" d="M35 15a35 35 0 1 0 .01 0zM35 30a20 20 0 1 0 .01 0z"/></clipPath><path clip-path="url(#c)" fill-rule="evenodd" d="M65 15a35 35 0 1 0 .01 0zM65 30a20 20 0 1 0 .01 0z"/>`},
	{"outlines of cubics", `<clipPath id="c"><path d="M10 50C10 0 90 0 90 50S10 100 10 50z"/></clipPath><path clip-path="url(#c)" d="M5 20C40 90 60 -30 95 80L95 95 5 95z"/>`},
	{"letters' kind of shape", `<clipPath id="c"><rect y="30" width="100" height="25"/></clipPath><path clip-path="url(#c)" d="M10 90L30 10h10L60 90H50L45 70H25L20 90zM28 60h15L35 30zM70 10h10v80h-10z"/>`},
	{"an edge on an edge", `<clipPath id="c"><rect x="10" y="10" width="50" height="80"/></clipPath><rect clip-path="url(#c)" x="10" y="10" width="80" height="40"/><rect clip-path="url(#c)" x="30" y="50" width="60" height="40"/>`},
	{"a clipped group in a symbol", `<clipPath id="c"><circle cx="10" cy="5" r="5"/></clipPath><symbol id="s" viewBox="0 0 20 10"><g clip-path="url(#c)"><rect width="20" height="10"/></g></symbol><use href="#s" x="5" y="5" width="60" height="30"/><use href="#s" x="30" y="50" width="40" height="40"/>`},
	{"a copy clipped twice", `<clipPath id="c"><rect x="5" y="5" width="30" height="30"/></clipPath><defs><circle id="k" cx="20" cy="20" r="18" clip-path="url(#c)"/></defs><use href="#k"/><use href="#k" transform="translate(50 10) rotate(20)"/><g clip-path="url(#c)"><use href="#k" x="12" y="40"/></g>`},
	{"a viewport in a viewport, turned", `<g transform="rotate(15 50 50)"><svg x="10" y="10" width="60" height="60" viewBox="0 0 30 30"><svg x="5" y="5" width="15" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMinYMax slice"><circle cx="5" cy="5" r="6"/></svg></svg></g>`},
	{"a mirrored clip", `<clipPath id="c" transform="matrix(-1 0 0 1 100 0)"><path d="M10 10h50l20 60z"/></clipPath><rect clip-path="url(#c)" x="5" y="20" width="80" height="40"/>`},
	{"an empty child", `<clipPath id="c"><g/><circle display="none" r="90"/><circle cx="50" cy="50" r="30"/></clipPath><rect clip-path="url(#c)" width="60" height="100"/>`},
}

// Filled by the even-odd rule, the outlines of clipped fills give the picture that
// the renderer paints of the file.
func TestClippedFillsAgainstRenderer(t *testing.T) {
	needRenderer(t)
	for _, f := range clippedFills {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			d, err := Read("test.svg", []byte(inPage(f.body)), Options{Unite: true})
			if err != nil {
				t.Fatal(err)
			}
			judge(t, inPage(f.body), filledIn(d), d)
			for _, s := range d.Strokes() {
				if !s.IsClosed() {
					t.Errorf("an outline is left open: %s", shown(d))
				}
			}
		})
	}
}

// letteredClips are filled shapes under clip paths that hold text.
var letteredClips = []struct{ name, body string }{
	{"a word", `<clipPath id="c"><text x="5" y="65" font-size="42">HOLD</text></clipPath><rect clip-path="url(#c)" y="20" width="100" height="60"/>`},
	{"small letters with holes", `<clipPath id="c"><text x="50" y="50" font-size="30" text-anchor="middle">abode</text></clipPath><path clip-path="url(#c)" d="M0 0L100 30V100L0 45z"/>`},
	{"a word and a shape", `<clipPath id="c"><text x="5" y="40" font-size="30">KNOT</text><circle cx="50" cy="70" r="22"/></clipPath><rect clip-path="url(#c)" width="100" height="80"/>`},
	{"parts of their own size and place", `<clipPath id="c"><text x="5" y="40" font-size="24">O<tspan font-size="40">K</tspan><tspan x="50" y="85">R</tspan></text></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"turned and moved", `<clipPath id="c" transform="rotate(15)"><text transform="translate(20 30) scale(1.2 .8)" font-size="30">RUG</text></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"by use", `<defs><text id="t" font-size="36">WA</text></defs><clipPath id="c"><use href="#t" x="10" y="45"/><use href="#t" x="20" y="90"/></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"by the bounding box", `<clipPath id="c" clipPathUnits="objectBoundingBox"><text transform="scale(.01)" x="5" y="80" font-size="80">TI</text></clipPath><rect clip-path="url(#c)" x="10" y="20" width="80" height="50"/>`},
	{"by the bounding box of text", `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><text clip-path="url(#c)" x="5" y="60" font-size="36">HOLD</text>`},
	{"by the bounding box of a group with text", `<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><g clip-path="url(#c)"><rect x="10" y="70" width="20" height="20"/><text x="5" y="60" font-size="36">HOLD</text></g>`},
	{"within an inner picture", `<clipPath id="c"><text font-size="10" x="1" y="9">Q<tspan dy="3" font-size="6">w</tspan></text></clipPath><svg x="10" y="5" width="80" height="70" viewBox="0 0 20 20"><rect clip-path="url(#c)" width="24" height="24"/></svg>`},
	{"letters over one another", `<clipPath id="c"><text font-size="60" x="2" y="70" letter-spacing="-8" clip-rule="evenodd">OOO</text></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`},
	{"text under a clip path", `<clipPath id="c"><circle cx="50" cy="50" r="28"/></clipPath><text clip-path="url(#c)" x="5" y="65" font-size="42">HOLD</text>`},
}

// onlyGoFont makes the renderer set text in the Go font, whatever else is installed.
func onlyGoFont(t *testing.T) {
	dir := t.TempDir()
	conf := filepath.Join(dir, "fonts.conf")
	for file, data := range map[string]string{
		filepath.Join(dir, "goregular.ttf"): string(goregular.TTF),
		conf:                                `<?xml version="1.0"?><fontconfig><dir>` + dir + `</dir><cachedir>` + dir + `</cachedir></fontconfig>`,
	} {
		if err := os.WriteFile(file, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("FONTCONFIG_FILE", conf)
}

// Text in a clip path shows what lies in its letters.
func TestClipsOfTextAgainstRenderer(t *testing.T) {
	needRenderer(t)
	onlyGoFont(t)
	for _, f := range letteredClips {
		t.Run(f.name, func(t *testing.T) {
			judgeSeenThrough(t, "clip", f.body, goFont)
		})
	}
}

// A clip path that cannot be applied says why.
func TestClipsThatCannotBeApplied(t *testing.T) {
	for _, tt := range []struct {
		name, clip, why string
		fonts           []text.Font
	}{
		{"no font", `<text>HOLD</text>`, "holds text that no font is named for", nil},
		{"no font of the family", `<text font-family="Twine">HOLD</text>`, "holds text that cannot be set", []text.Font{{File: "gull.ttf", Family: "Gull", Data: goFont.Data}}},
		{"downwards", `<text writing-mode="tb">HOLD</text>`, "holds text that cannot be set", []text.Font{goFont}},
		{"of itself", `<circle r="50" clip-path="url(#c)"/>`, "refers to itself", nil},
		{"beyond numbers", `<circle r="1e30"/>`, "is too large", nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d, err := Read("test.svg", []byte(inPage(`<clipPath id="c">`+tt.clip+`</clipPath><path clip-path="url(#c)" fill="none" stroke="red" d="M10 10h80"/>`)), Options{Fonts: tt.fonts})
			if err != nil {
				t.Fatal(err)
			}
			if !slices.ContainsFunc(d.Notes, func(n paths.Note) bool {
				return n.Code == "clip-not-applied" && strings.Contains(n.Message, tt.why)
			}) {
				t.Errorf("notes %+v, want %q", d.Notes, tt.why)
			}
		})
	}
}

// filledIn writes the line work of a design on the page of inPage, filled by the
// even-odd rule.
func filledIn(d paths.Design) string {
	var b strings.Builder
	for _, s := range d.Strokes() {
		b.WriteString("M")
		for _, p := range s.Flatten(0.005) {
			fmt.Fprintf(&b, "%.5f,%.5f ", p.X, 100-p.Y)
		}
		b.WriteString("z")
	}
	return inPage(`<path fill-rule="evenodd" d="` + b.String() + `"/>`)
}

// A shape alone, without uniting, has the same outline; a circle that clips is
// drawn as arcs.
func TestClippedFillAlone(t *testing.T) {
	const clip = `<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath>`
	for _, tt := range []struct {
		name, body   string
		strokes, arc int
		length       float64
	}{
		{"half a disc", clip + `<rect clip-path="url(#c)" width="50" height="100"/>`, 1, 1, 30*math.Pi + 60},
		{"a whole disc", clip + `<rect clip-path="url(#c)" width="100" height="100"/>`, 1, 1, 60 * math.Pi},
		{"a shape within", clip + `<rect clip-path="url(#c)" x="40" y="40" width="10" height="10"/>`, 1, 0, 40},
		{"outlines outside the clip", clip + `<path clip-path="url(#c)" d="M-50 -50h300v300h-300z"/>`, 1, 1, 60 * math.Pi},
		{"a stroked shape is cut", clip + `<path clip-path="url(#c)" stroke="red" d="M0 50h100v90h-100z"/>`, 1, 0, 60},
		// The renderer of the test above leaves these three out; they are by the
		// standard (CSS Masking 1, 5.1; SVG 2, overflow of a symbol).
		{"a clip path under a clip path", `<clipPath id="d"><rect width="50" height="100"/></clipPath><clipPath id="c" clip-path="url(#d)"><circle cx="50" cy="50" r="30"/></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`, 1, 1, 30*math.Pi + 60},
		{"a shape of a clip path under another", `<clipPath id="d"><rect width="50" height="100"/></clipPath><clipPath id="c"><circle clip-path="url(#d)" cx="50" cy="50" r="30"/></clipPath><rect clip-path="url(#c)" width="100" height="100"/>`, 1, 1, 30*math.Pi + 60},
		{"a symbol's viewport", `<symbol id="s" viewBox="0 0 20 10"><rect x="-50" y="-50" width="100" height="100"/></symbol><use href="#s" x="5" y="5" width="60" height="30"/>`, 1, 0, 180},
		{"two stripes", clip + `<g clip-path="url(#c)"><rect width="100" height="50"/><rect y="50" width="100" height="50" fill="red"/></g>`, 2, 2, 60*math.Pi + 120},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d, err := Read("test.svg", []byte(inPage(tt.body)), Options{})
			if err != nil {
				t.Fatal(err)
			}
			arcs := 0
			for _, s := range d.Strokes() {
				for _, c := range s {
					if _, ok := c.(paths.Arc); ok {
						arcs++
					}
				}
			}
			if l := paths.LengthOf(d.Strokes()); len(d.Strokes()) != tt.strokes || arcs != tt.arc || math.Abs(l-tt.length) > 2e-3 {
				t.Errorf("%d strokes with %d arcs, %.6f mm; want %d with %d, %.6f mm: %s", len(d.Strokes()), arcs, l, tt.strokes, tt.arc, tt.length, shown(d))
			}
			if strings.Contains(codes(d), "clipped-away") {
				t.Errorf("notes %s", codes(d))
			}
		})
	}
}

// An edge of a clip almost on the edge of what it clips, a hair off in any
// direction, is applied along all the others. A stroke farther outside than
// 0.002 mm would be cut away.
func TestClipAlmostOnAnEdge(t *testing.T) {
	for _, hair := range []float64{0.00001, 0.0001, 0.0005, 0.001, 0.0014} {
		for _, way := range [][2]float64{{0, 1}, {0, -1}, {1, 0}, {-1, 0}, {1, 1}, {-1, 1}} {
			for _, turn := range []int{0, 37, 90} {
				for _, paint := range []string{`fill="red"`, `fill="none" stroke="red"`} {
					body := fmt.Sprintf(`<g transform="rotate(%d 50 50)"><clipPath id="c"><rect x="%.5f" y="%.5f" width="60" height="50"/></clipPath><rect clip-path="url(#c)" %s x="10" y="20" width="90" height="50"/></g>`,
						turn, 10+hair*way[0], 20+hair*way[1], paint)
					d, err := Read("test.svg", []byte(inPage(body)), Options{})
					if err != nil {
						t.Fatal(err)
					}
					m := paths.Translate(paths.Point{X: -50, Y: -50}).Then(paths.Rotate(float64(turn) * math.Pi / 180))
					box := paths.EmptyRect()
					for _, s := range d.Strokes() {
						for _, p := range s.Flatten(0.001) {
							box = box.Include(m.Apply(p))
						}
					}
					if math.Abs(box.Width()-60) > 0.01 || math.Abs(box.Height()-50) > 0.01 {
						t.Errorf("%s, off by %g to %v, turned by %d: %.5f x %.5f mm, want 60 x 50", paint, hair, way, turn, box.Width(), box.Height())
					}
				}
			}
		}
	}
}
