package proof

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"pgregory.net/rapid"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// measure returns the width of text in em, by a reader of the font other than
// the one the layout uses.
func measure(t testing.TB, text string, bold bool) float64 {
	t.Helper()
	ttf := goregular.TTF
	if bold {
		ttf = gobold.TTF
	}
	f, err := opentype.Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: 1000, DPI: 72, Hinting: font.HintingNone})
	if err != nil {
		t.Fatal(err)
	}
	return float64(font.MeasureString(face, text)) / 64 / 1000
}

// TestTextWidth compares with another reader of the same font.
func TestTextWidth(t *testing.T) {
	for _, s := range []string{"", "edge of the rug", "24-1/2 in (62.2 cm) • 12 x 13", "ÅÄÖ åäö ß ﬁ …", "織"} {
		for _, bold := range []bool{false, true} {
			want := measure(t, s, bold)
			if got := typeface.Width(s, 1, bold); math.Abs(got-want) > 0.01*want {
				t.Errorf("%q is %v em wide, want %v", s, got, want)
			}
		}
	}
}

// TestTextOutline checks that the outlines fill the space given by the metrics.
func TestTextOutline(t *testing.T) {
	box := words{text: "Hxg", size: 10}.box()
	for _, s := range typeface.Outline("Hxg", 10, false) {
		if err := s.Validate(); err != nil {
			t.Error(err)
		}
		if !s.IsClosed() {
			t.Error("an outline is open")
		}
		if b := s.Bounds(); !inside(box.Grow(0.3), b) {
			t.Errorf("an outline at %v is outside %v", b, box)
		}
	}
}

type textBox struct {
	text string
	box  paths.Rect
}

// textBoxes returns the boxes of all text of a proof, measured independently.
func textBoxes(t testing.TB, root *element) []textBox {
	t.Helper()
	var out []textBox
	for _, e := range root.all() {
		if e.name != "text" {
			continue
		}
		size := e.num(t, "font-size")
		w := size * measure(t, e.text, e.attrs["font-weight"] == "bold")
		if said := e.num(t, "textLength"); math.Abs(said-w) > 0.02*w+0.01 {
			t.Errorf("%q is said to be %v mm long and measures %v", e.text, said, w)
		}
		x, y := e.num(t, "x"), e.num(t, "y")
		switch e.attrs["text-anchor"] {
		case "middle":
			x -= w / 2
		case "end":
			x -= w
		}
		out = append(out, textBox{e.text, rect(x, y-0.75*size, x+w, y+0.21*size)})
	}
	return out
}

// checkText reports text that overlaps other text or leaves the picture.
func checkText(t testing.TB, s Scene) {
	t.Helper()
	data, err := SVG(s)
	if err != nil {
		t.Fatal(err)
	}
	root := parseXML(t, data)
	var x, y, w, h float64
	if _, err := fmt.Sscan(root.attrs["viewBox"], &x, &y, &w, &h); err != nil {
		t.Fatal(err)
	}
	page := rect(0, 0, w, h)
	boxes := textBoxes(t, root)
	for i, a := range boxes {
		if !inside(page, a.box) {
			t.Errorf("%q leaves the picture: %v of %v", a.text, a.box, page)
		}
		for _, b := range boxes[:i] {
			if overlap(a.box, b.box) {
				t.Errorf("%q and %q overlap: %v, %v", a.text, b.text, a.box, b.box)
			}
		}
	}
	if s.Title != "" && !strings.Contains(allText(boxes), strings.Fields(s.Title)[0][:1]) {
		t.Errorf("the title is not there")
	}
}

func allText(boxes []textBox) string {
	var b strings.Builder
	for _, t := range boxes {
		b.WriteString(t.text + "\n")
	}
	return b.String()
}

const longTitle = "the mat with the lighthouse and the gulls for the Tuesday class at the net loft, " +
	"second-drawing-with-the-wider-border-and-no-lettering-at-all-because-it-would-not-fit-between-the-lines, third try"

func TestTextHasRoom(t *testing.T) {
	for name, s := range testScenes() {
		t.Run(name, func(t *testing.T) {
			checkText(t, s)
			s.Title, s.Side = longTitle, longTitle
			s.Captions = append(s.Captions, longTitle)
			for i := range s.Ink {
				s.Ink[i].Layer = longTitle
			}
			s.Notes = append(s.Notes, Note{Label: longTitle})
			checkText(t, s)
		})
	}
}

// TestTextHasRoomProperty lays out scenes of random sizes, places and words.
func TestTextHasRoomProperty(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		size := rapid.Float64Range(20, 3000)
		s := rugScene(rapid.StringN(0, 80, 200).Draw(r, "title"), size.Draw(r, "w"), size.Draw(r, "h"),
			rapid.Float64Range(0, 150).Draw(r, "margin"),
			rect(0, 0, rapid.Float64Range(200, 3000).Draw(r, "reach x"), rapid.Float64Range(200, 3000).Draw(r, "reach y")))
		for i := range rapid.IntRange(0, 40).Draw(r, "notes") {
			k := s.Ink[rapid.IntRange(0, len(s.Ink)-1).Draw(r, "on")].Stroke.Start()
			s.Notes = append(s.Notes, Note{At: &k, Label: fmt.Sprint("note ", i)})
		}
		s.Side = rapid.StringN(0, 200, 400).Draw(r, "side")
		checkTextQuick(r, s)
	})
}

// checkTextQuick is checkText on the layout itself, for many scenes.
func checkTextQuick(t *rapid.T, s Scene) {
	pic, err := drawScene(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	var boxes []textBox
	var walk func([]node)
	walk = func(nodes []node) {
		for _, n := range nodes {
			switch n := n.(type) {
			case *group:
				walk(n.nodes)
			case words:
				boxes = append(boxes, textBox{n.text, n.box()})
			}
		}
	}
	walk(pic.nodes)
	page := rect(0, 0, pic.w, pic.h).Grow(1e-9)
	for i, a := range boxes {
		if !inside(page, a.box) {
			t.Errorf("%q leaves the picture: %v of %v", a.text, a.box, page)
		}
		for _, b := range boxes[:i] {
			if overlap(a.box, b.box) {
				t.Errorf("%q and %q overlap: %v, %v", a.text, b.text, a.box, b.box)
			}
		}
	}
}

// TestTextSize checks that text grows with the scene: its size is between a
// sixtieth and a hundred-and-twentieth of the longer side of the picture, and
// no line is too thin to see.
func TestTextSize(t *testing.T) {
	for name, s := range testScenes() {
		pic, err := drawScene(s, nil)
		if err != nil {
			t.Fatal(err)
		}
		l := &layout{scene: s}
		l.frame, _ = frameOf(s)
		share := emFor(l.frame) / math.Max(pic.w, pic.h)
		if share < 1.0/130 || share > 1.0/50 {
			t.Errorf("%s: text is 1/%.0f of the picture", name, 1/share)
		}
	}
}

// TestSaysWhatIsThere checks that the words a person needs are in the picture.
func TestSaysWhatIsThere(t *testing.T) {
	s := small()
	data, err := SVG(s)
	if err != nil {
		t.Fatal(err)
	}
	said := allText(textBoxes(t, parseXML(t, data)))
	for _, want := range []string{
		"one of <everything>", "You are looking at the back & not the front.", "60 mm • a \"quoted\" fact",
		"start", "end", "edge of the rug", "edge of the backing", "reach of the pen",
		"one & two", "<three>", "fine-marker", "too fine to work", "wear gloves", "1", "2",
		"pen up", "arrowheads", "0", "10", "20", "30", "channels of the weave", " in", " cm",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said", want)
		}
	}
}

// TestFrame checks that the rug fills the picture on a large machine, and that
// the plan then shows where it lies.
func TestFrame(t *testing.T) {
	for _, c := range []struct {
		name string
		plan bool
	}{{"coaster", true}, {"mat", false}, {"carpet", false}, {"foreign", true}} {
		s := testScenes()[c.name]
		data, err := SVG(s)
		if err != nil {
			t.Fatal(err)
		}
		root := parseXML(t, data)
		if got := root.byID("plan") != nil; got != c.plan {
			t.Errorf("%s: a plan: %v, want %v", c.name, got, c.plan)
		}
		frame, _ := frameOf(s)
		near := s.Rug.Bounds().Union(s.Backing.Bounds())
		if near.IsEmpty() {
			continue
		}
		if frame.Width() > 1.5*near.Width() && frame.Height() > 1.5*near.Height() {
			t.Errorf("%s: %v is lost in %v", c.name, near, frame)
		}
	}
}

// luminance is the relative luminance of WCAG 2.1, section 3.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	c, err := parseColour(colour)
	if err != nil {
		t.Fatal(err)
	}
	lin := func(b uint8) float64 {
		v := float64(b) / 255
		if v <= 0.03928 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

// TestContrast checks the colours of text and of what must be seen against the
// paper, the cloth and the rug: 4.5 to 1 for text and 3 to 1 for graphics, by
// success criteria 1.4.3 and 1.4.11 of WCAG 2.1.
func TestContrast(t *testing.T) {
	for _, c := range []struct {
		colour string
		least  float64
	}{
		{darkText, 4.5}, {quietText, 4.5}, {blue, 4.5}, {rugName, 4.5}, {clothEdge, 4.5}, {reachEdge, 4.5},
		{bluishGreen, 3}, {vermillion, 3}, {numberColour, 4.5},
	} {
		for _, ground := range []string{paper, cloth, rugGround} {
			hi, lo := luminance(t, ground), luminance(t, c.colour)
			if got := (hi + 0.05) / (lo + 0.05); got < c.least {
				t.Errorf("%s on %s has contrast %.2f, want %.1f", c.colour, ground, got, c.least)
			}
		}
	}
}

// TestShades: the shades of speed grow lighter in visible steps, with a
// contrast of at least 1.4, and all have 3 to 1 on the cloth, by success
// criterion 1.4.11 of WCAG 2.1.
func TestShades(t *testing.T) {
	for i, colour := range shades {
		hi, l := luminance(t, cloth), luminance(t, colour)
		if got := (hi + 0.05) / (l + 0.05); got < 3 {
			t.Errorf("%s on the cloth has contrast %.2f", colour, got)
		}
		if i == 0 {
			continue
		}
		if got := (l + 0.05) / (luminance(t, shades[i-1]) + 0.05); got < 1.4 {
			t.Errorf("%s is %.2f times as light as the one before", colour, got)
		}
	}
	for n := 1; n <= len(shades); n++ {
		seen := map[string]bool{}
		for i := range n {
			seen[shadeOf(i, n)] = true
		}
		if len(seen) != n {
			t.Errorf("%d paces have %d shades", n, len(seen))
		}
	}
}

// TestPalette checks the bright colours against Okabe and Ito, "Color Universal
// Design" (2002, rev. 2008), as published.
func TestPalette(t *testing.T) {
	for got, want := range map[string]string{
		orange: "#E69F00", bluishGreen: "#009E73", blue: "#0072B2", vermillion: "#D55E00",
	} {
		if !strings.EqualFold(got, want) {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
