package svg

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/svg/text"
)

// The independent judge of these tests is rsvg-convert (Debian package
// librsvg2-bin): it paints the file itself, and it paints our line work, each
// stroke as a polyline of the width that the file gives it. The two pictures
// must agree.

// features are small files, one feature each, all lines with round ends. What
// is only filled is left to the other tests, as a pen does not fill. Lines that
// are clipped are thin, as a renderer cuts their width along the edge. What
// this renderer does not support (custom properties, calc, initial,
// vector-effect, lists of places for letters) is compared with the standard in
// other tests.
var features = []struct{ name, body string }{
	{"lines", `<path d="M10 10L90 20 50 80z"/><line x1="5" y1="95" x2="95" y2="90"/><polyline points="10,50 20,60 30 50 40-10"/><polygon points="60 60 80 60 70 75"/>`},
	{"cubics", `<path d="M10 50C20 0 40 0 50 50S80 100 90 50M10 80c20-30 30 30 40 0s20-20 30 10"/>`},
	{"quadratics", `<path d="M10 50Q30 0 50 50T90 50M10 80q10 20 20 0t20 0 20 0t5-10"/>`},
	{"arcs", `<path d="M10 30A20 20 0 0 1 50 30A20 20 0 1 0 80 40M20 70a30 15 30 1 1 40 10M70 70a10 20-45 0 1 20 10"/>`},
	{"arcs with chord equal to radius", `<path d="M30 50A20 20 0 1 1 50 50M60 20A20 20 0 0 1 80 20M60 80A20 20 0 1 0 80 80"/>`},
	{"arcs out of range", `<path d="M10 50A1 1 0 0 1 50 50A10 5 30 0 0 90 50M10 80A0 5 0 0 1 90 80M10 90A-20-20 0 0 1 40 90"/>`},
	{"arcs with glued flags", `<path d="M10 50a20 20 0 0140 0 20 20 0 1140 0a20 20 0 11-.1 10"/>`},
	{"error in path data", `<path d="M10 10L90 10 90 50 30"/><path d="M10 70 L50 70 L60 80 Q 3 3 X"/>`},
	{"rect", `<rect x="5" y="5" width="40" height="30"/><rect x="55" y="5" width="40" height="30" rx="8"/><rect x="5" y="55" width="40" height="30" rx="100" ry="5"/><rect x="55" y="55" width="40" height="30" ry="12" rx="4"/>`},
	{"circle and ellipse", `<circle cx="30" cy="30" r="20"/><ellipse cx="65" cy="65" rx="30" ry="12"/>`},
	{"transforms", `<g transform="translate(50 50) rotate(30)"><rect x="-20" y="-10" width="40" height="20"/><g transform="scale(1.5)rotate(15, 5, 5)"><circle r="10"/></g></g>`},
	{"shear and mirror", `<g transform="matrix(-1 0 0 1 100 0)"><path d="M10 10h30a10 10 0 0 1 10 10v20"/></g><g transform="translate(20 60) skewX(20)"><rect width="30" height="20" rx="5"/></g>`},
	{"transform list", `<path transform="translate(10,10) scale(2 2),rotate(10) skewY(5)" d="M0 0h20v20h-20zM5 5A5 5 0 0 1 15 5"/>`},
	{"nested svg", `<svg x="10" y="20" width="50" height="40" viewBox="0 0 10 10"><circle cx="5" cy="5" r="4" stroke-width=".3"/></svg>`},
	{"nested svg in percent", `<svg x="10%" y="20%" width="50%" height="70%"><line x1="0" y1="10%" x2="90%" y2="50%"/><circle cx="50%" cy="50%" r="20%"/></svg>`},
	{"use", `<defs><path id="a" d="M0 0h10v10"/></defs><use href="#a" x="10" y="10"/><use xlink:href="#a" transform="rotate(45 50 50)" x="50" y="50"/><g id="b"><use href="#a" x="20" y="60"/></g><use href="#b" x="30"/>`},
	{"use inherits", `<defs><g id="a"><path d="M0 0h10v10"/><path d="M5 20h20" stroke-width="1"/></g></defs><use href="#a" x="10" y="10" stroke-width="4"/><use href="#a" x="50" y="50"/>`},
	{"symbol", `<symbol id="s" viewBox="0 0 20 10"><rect x="1" y="1" width="18" height="8"/></symbol><use href="#s" x="5" y="5" width="40" height="40"/><use href="#s" x="50" y="50" width="40" height="20"/>`},
	{"switch", `<switch><g requiredExtensions="http://example.org/none"><path d="M0 0h99"/></g><g systemLanguage="en"><path d="M10 10h50"/></g><path d="M0 90h90"/></switch>`},
	{"hidden", `<path display="none" d="M0 0h90"/><g visibility="hidden"><path d="M0 20h90"/><path visibility="visible" d="M0 30h90"/></g><path opacity="0" d="M0 50h80"/><path style="display:none" d="M0 60h50"/><path d="M0 80h40" stroke="none"/>`},
	{"style sheet", `<style>.a{stroke-width:5} #b{stroke-width:1} path.c{stroke-width:6} g path{stroke-width:3} g &gt; .d{stroke:none} path[title=x]{stroke-width:7} .e{stroke-width:8!important}</style><path class="a" d="M10 10h80"/><path id="b" class="a" d="M10 20h80"/><path class="a c" d="M10 30h80"/><g><path d="M10 40h80"/><path class="d" d="M10 50h80"/></g><path title="x" d="M10 65h80"/><path class="e" style="stroke-width:1" d="M10 80h80"/>`},
	{"style sheet against attributes", `<style>path{stroke-width:5}</style><path stroke-width="1" d="M10 10h80"/><path stroke-width="1" style="stroke-width:9" d="M10 40h80"/><g style="stroke-width:1"><path d="M10 70h80"/></g>`},
	{"style sheet in CDATA", `<style type="text/css"><![CDATA[ /* lines */ .x > path { stroke-width : 6 ; stroke : red } ]]></style><g class="y x"><path d="M10 10h80"/><g><path d="M10 50h80"/></g></g>`},
	{"current colour and inherit", `<g color="red" stroke="currentColor"><path d="M10 10h80"/><g stroke="none"><path stroke="inherit" d="M10 30h80"/><path stroke="currentColor" d="M10 50h80"/></g></g>`},
	{"units", `<path d="M10 10h80" stroke-width="2mm"/><line x1="1cm" y1="3mm" x2="0.5in" y2="15pt"/><circle cx="50" cy="60" r="1em" font-size="10"/><circle cx="50" cy="60" r="2pc"/>`},
	{"percent stroke", `<path d="M10 10h80" stroke-width="3%"/><rect x="10%" y="30%" width="60%" height="30%" rx="5%"/>`},
	{"clip path", `<g stroke-width=".6" stroke-linecap="butt"><clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><g clip-path="url(#c)"><path d="M0 50h100M50 0v100M0 0l100 100M10 30A50 50 0 0 0 90 30"/><circle cx="50" cy="50" r="31"/><circle cx="70" cy="50" r="25"/></g></g>`},
	{"clip path by box", `<g stroke-width=".6" stroke-linecap="butt"><clipPath id="c" clipPathUnits="objectBoundingBox"><rect x=".25" y=".1" width=".5" height=".5"/></clipPath><path clip-path="url(#c)" d="M10 10L90 90M10 90L90 10M10 50h80"/></g>`},
	{"clip path, even-odd", `<g stroke-width=".6" stroke-linecap="butt"><clipPath id="c"><path clip-rule="evenodd" d="M10 10h80v80h-80zM30 30h40v40h-40z"/></clipPath><path clip-path="url(#c)" d="M0 50h100M50 0v100M0 0l100 100M0 20h100"/></g>`},
	{"clip path of moved shapes", `<g stroke-width=".6" stroke-linecap="butt"><clipPath id="c" transform="translate(5 5)"><circle cx="50" cy="50" r="30"/><rect x="10" y="5" width="20" height="20" transform="rotate(10)"/></clipPath><path clip-path="url(#c)" d="M0 30h100M50 0v100M0 0l100 100M0 60h100M15 0v90"/></g>`},
	{"clip path by use", `<g stroke-width=".6" stroke-linecap="butt"><defs><circle id="k" cx="50" cy="50" r="30"/></defs><clipPath id="c"><use href="#k" x="10"/></clipPath><g clip-path="url(#c)"><path d="M0 50h100M60 0v100"/></g></g>`},
	{"overflow", `<g stroke-width=".6" stroke-linecap="butt"><svg x="20" y="20" width="40" height="40"><path d="M-10 20h80M20-10v30l60 60"/></svg><svg x="60" y="60" width="30" height="30" viewBox="0 0 10 10" overflow="visible"><path stroke-width=".1" d="M-2 5h14"/></svg></g>`},
	{"dots", `<path d="M20 20h0M40 20z" stroke-width="8"/><line x1="60" y1="20" x2="60" y2="20" stroke-width="8"/>`},
	{"group opacity and link", `<g opacity=".9"><a href="#x"><path d="M10 10h80"/></a></g>`},
	{"structural pseudo-classes", `<style>path{stroke-width:1}path:nth-child(2n+1){stroke-width:4}path:last-of-type{stroke-width:6}:not(g):not(path){stroke-width:3}</style><g><path d="M10 10h80"/><path d="M10 20h80"/><path d="M10 30h80"/><path d="M10 40h80"/></g><line x1="10" x2="90" y1="60" y2="60"/>`},
	{"attribute selectors", `<style>[id^=a]{stroke-width:5}[id$=b]{stroke-width:1}[class~=c]{stroke-width:7}[lang|=en]{stroke-width:4}[id*=x]{stroke-width:9}</style><path id="a1" d="M10 10h80"/><path id="1b" d="M10 20h80"/><path class="d c" d="M10 30h80"/><path lang="en-GB" d="M10 45h80"/><path id="1x1" d="M10 60h80"/>`},
	{"geometry in a style sheet", `<style>circle{cx:30px;cy:30px;r:20px}rect{x:55px;y:55px;width:30px;height:20px;rx:5px}ellipse{cx:70px;cy:20px;rx:20px;ry:10px}</style><circle/><rect/><ellipse/>`},
	{"important", `<style>path{stroke-width:6!important}</style><path d="M10 10h80" style="stroke-width:1"/><path d="M10 30h80" stroke-width="1"/>`},
	{"thick strokes", `<path stroke-width="14" d="M20 20h50v50"/><circle cx="30" cy="70" r="15" stroke-width="10"/>`},
	{"use of everything", `<defs><line id="l" x2="20" y2="5"/><svg id="v" width="20" height="20" viewBox="0 0 10 10" overflow="visible"><path d="M1 1h8"/></svg><polygon id="p" points="0 0 20 0 10 15"/></defs><use href="#l" x="5" y="5"/><use href="#v" x="40" y="10" stroke-width="1"/><use href="#p" x="60" y="60"/><use href="#p" x="20" y="60" transform="scale(1 -1) translate(0 -140)"/>`},
	{"transform in a style", `<g style="transform:translate(10px,20px) rotate(20deg)"><path d="M10 10h50"/></g>`},
}

// dashed are files drawn with their dashes, which have square ends.
var dashed = []struct{ name, body string }{
	{"dashes", `<path stroke-dasharray="10 4" d="M5 10h90v40h-90z"/><circle cx="50" cy="75" r="20" stroke-dasharray="7"/>`},
	{"dashes with offset", `<path stroke-dasharray="10,4,2" stroke-dashoffset="5" d="M5 10h90"/><path stroke-dasharray="10 4" stroke-dashoffset="-3" d="M5 30h90M5 40h50"/>`},
	{"dashes along curves", `<path stroke-dasharray="4 2" d="M10 50C20 0 40 0 50 50S80 100 90 50M10 80Q50 50 90 80A40 10 0 0 1 10 80"/>`},
	{"dashes in units", `<path stroke-dasharray="5mm 10%" d="M5 10h90"/><path transform="scale(2)" stroke-dasharray="3 1" d="M5 20h40"/>`},
}

// aspects are files with every way to fit a viewBox, wide and tall: as inner
// pictures on one page, and a few as the page itself.
func aspects() []struct{ name, file string } {
	const picture = `<path d="M25 35h10v15l-8-9z"/><circle cx="30" cy="40" r="4"/>`
	const line = `fill="none" stroke="#000" stroke-width="2" stroke-linecap="round" stroke-linejoin="round"`
	var list []struct{ name, file string }
	var cells strings.Builder
	i := 0
	for _, x := range []string{"Min", "Mid", "Max"} {
		for _, y := range []string{"Min", "Mid", "Max"} {
			for _, how := range []string{"meet", "slice"} {
				for _, size := range []string{`width="8" height="15"`, `width="15" height="8"`} {
					fmt.Fprintf(&cells, `<svg x="%d" y="%d" %s overflow="visible" viewBox="10 20 40 40" preserveAspectRatio="x%sY%s %s">%s</svg>`,
						16*(i%6)+2, 16*(i/6)+2, size, x, y, how, picture)
					i++
				}
			}
		}
	}
	list = append(list, struct{ name, file string }{"all", inPage(`<g ` + line + `>` + cells.String() + `</g>`)})
	for _, a := range []string{"xMinYMax meet", "xMidYMid slice", "xMidYMid"} {
		list = append(list, struct{ name, file string }{"page " + a, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="80mm" viewBox="10 20 40 40" preserveAspectRatio="` +
			a + `"><g ` + line + `>` + picture + `</g></svg>`})
	}
	// Stretched one way, so that the line is thin: a pen's width is the same all round.
	return append(list, struct{ name, file string }{"page none",
		`<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="80mm" viewBox="10 20 40 40" preserveAspectRatio="none"><g fill="none" stroke="#000" stroke-width=".5" stroke-linecap="round" stroke-linejoin="round">` + picture + `</g></svg>`})
}

// filled are files of fills in one colour. Their united outlines, filled by the
// even-odd rule, must give the same picture.
var filled = []struct{ name, body string }{
	{"united circles", `<circle cx="35" cy="40" r="25"/><circle cx="65" cy="40" r="25"/><circle cx="50" cy="65" r="25"/>`},
	{"united with a hole", `<path fill-rule="evenodd" d="M10 10h60v60h-60zM30 30h20v20h-20z"/><rect x="60" y="40" width="30" height="50" rx="10"/>`},
	{"united crossing itself", `<path d="M50 5L80 95 5 35H95L20 95z"/><path fill-rule="evenodd" d="M10 60C90 10 10 10 90 60S40 100 10 60"/>`},
	{"united through copies and groups", `<g id="a"><rect x="10" y="10" width="20" height="40" transform="rotate(20 20 30)"/></g><use href="#a" x="10"/><use href="#a" x="25" y="30"/>`},
	{"united side by side", `<rect x="10" y="10" width="30" height="30"/><rect x="40" y="10" width="30" height="30"/><rect x="10" y="40" width="60" height="30"/>`},
}

func TestUnitedAgainstRenderer(t *testing.T) {
	needRenderer(t)
	for _, f := range filled {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			judgeUnited(t, f.body)
		})
	}
}

// judgeUnited reads a page of fills, united, with the fonts given, and holds it against the
// renderer's picture.
func judgeUnited(t *testing.T, body string, fonts ...text.Font) paths.Design {
	t.Helper()
	d, err := Read("test.svg", []byte(inPage(body)), Options{Unite: true, Fonts: fonts})
	if err != nil {
		t.Fatal(err)
	}
	judge(t, inPage(body), filledIn(d), d)
	return d
}

// judgeSeenThrough is judgeUnited for fills of which only a part is to be seen: their outlines
// are closed all the same, and no note names what they are seen through.
func judgeSeenThrough(t *testing.T, what, body string, fonts ...text.Font) {
	t.Helper()
	d := judgeUnited(t, body, fonts...)
	if c := codes(d); strings.Contains(c, what) {
		t.Errorf("notes %s", c)
	}
	for _, s := range d.Strokes() {
		if !s.IsClosed() {
			t.Errorf("an outline is left open: %s", shown(d))
		}
	}
}

func TestAgainstRenderer(t *testing.T) {
	needRenderer(t)
	for _, f := range features {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			compare(t, inPage(`<g fill="none" stroke="#000" stroke-width="2" stroke-linecap="round" stroke-linejoin="round">`+f.body+`</g>`), Options{})
		})
	}
	for _, f := range dashed {
		t.Run(f.name, func(t *testing.T) {
			t.Parallel()
			compare(t, inPage(`<g fill="none" stroke="#000" stroke-width="1" stroke-linejoin="round">`+f.body+`</g>`), Options{Dashes: true})
		})
	}
	for _, a := range aspects() {
		t.Run(a.name, func(t *testing.T) {
			t.Parallel()
			compare(t, a.file, Options{})
		})
	}
}

func needRenderer(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("rsvg-convert"); err != nil {
		t.Skip("rsvg-convert, which paints the pictures to compare with, is not installed (Debian package librsvg2-bin)")
	}
}

// compare paints a file and our reading of it, and fails where they differ by
// half a percent of the ink or more.
func compare(t *testing.T, file string, opt Options) {
	t.Helper()
	d, err := Read("test.svg", []byte(file), opt)
	if err != nil {
		t.Fatal(err)
	}
	ends := "round"
	if opt.Dashes {
		ends = "butt"
	}
	judge(t, file, painted(d, ends), d)
}

// judge compares the pictures of two files, with one pixel of slack on edges.
// With -v it logs how much they differ, so that one run gives a table by
// feature.
func judge(t *testing.T, file, mine string, d paths.Design) {
	t.Helper()
	theirs, ours := render(t, file), render(t, mine)
	ink, wrong := differing(theirs, ours)
	share := 100 * float64(wrong) / float64(max(1, ink))
	t.Logf("%6d inked pixels, %4d differ: %.3f %%", ink, wrong, share)
	if share >= 0.5 || ink == 0 {
		t.Errorf("more than half a percent differ\n%s\n%s", shown(d), saved(t, theirs, ours))
	}
}

// painted writes the line work as polylines with their widths, and with round
// or butt ends.
func painted(d paths.Design, ends string) string {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %[1]g %[2]g"><g fill="none" stroke="#000" stroke-linecap="%[3]s" stroke-linejoin="round">`, d.Page.Width(), d.Page.Height(), ends)
	for _, l := range d.Layers {
		for _, s := range l.Strokes {
			tag := "polyline"
			if s.IsClosed() {
				tag = "polygon"
			}
			fmt.Fprintf(&b, "\n<%s stroke-width=\"%g\" points=\"", tag, s.Width)
			for _, p := range s.Flatten(0.005) {
				fmt.Fprintf(&b, "%.5f,%.5f ", p.X, d.Page.Height()-p.Y)
			}
			b.WriteString(`"/>`)
		}
	}
	return b.String() + "</g></svg>"
}

func render(t *testing.T, file string) image.Image { return renderWide(t, file, 400) }

// renderWide paints a file so many pixels wide.
func renderWide(t *testing.T, file string, width int) image.Image {
	t.Helper()
	cmd := exec.Command("rsvg-convert", "--accept-language", "en", "--width", strconv.Itoa(width), "--keep-aspect-ratio")
	cmd.Stdin = strings.NewReader(file)
	var complaint bytes.Buffer
	cmd.Stderr = &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("rsvg-convert: %v: %s", err, complaint.String())
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// differing counts the pixels that are inked in either picture, and those with
// no ink in the other within a pixel.
func differing(a, b image.Image) (ink, wrong int) {
	box := a.Bounds().Union(b.Bounds())
	inked := func(img image.Image, x, y int) bool {
		_, _, _, alpha := img.At(x, y).RGBA()
		return alpha > 0x7fff
	}
	near := func(img image.Image, x, y int) bool {
		for dy := -1; dy <= 1; dy++ {
			for dx := -1; dx <= 1; dx++ {
				if inked(img, x+dx, y+dy) {
					return true
				}
			}
		}
		return false
	}
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			inA, inB := inked(a, x, y), inked(b, x, y)
			if inA || inB {
				ink++
			}
			if inA && !near(b, x, y) || inB && !near(a, x, y) {
				wrong++
			}
		}
	}
	return ink, wrong
}

// saved keeps the two pictures of a failure for a person to look at, if a
// folder is named for them.
func saved(t *testing.T, pictures ...image.Image) string {
	dir := os.Getenv("SVG_PICTURES")
	if dir == "" {
		return "set SVG_PICTURES to a folder to keep the two pictures"
	}
	var list []string
	for i, img := range pictures {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(dir, fmt.Sprintf("%s-%d.png", strings.NewReplacer("/", "-", " ", "-", `"`, "").Replace(t.Name()), i))
		if err := os.WriteFile(name, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		list = append(list, name)
	}
	return strings.Join(list, " ")
}
