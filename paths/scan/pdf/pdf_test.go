package pdf

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
)

// samples are files by other programs: librsvg 2.54 with cairo (lines, two),
// Ghostscript 10.0 (gs, imgscan, photo, strips) and qpdf 11 (plain, packed, locked,
// turned). All show a frame from 5,5 to 55,35 mm, a curve and a circle on a page of
// 60 x 40 mm; page 2 of some is a line from corner to corner of the frame.
func fileOf(t testing.TB, name string) []byte {
	data, err := os.ReadFile(filepath.Join("testdata/samples", name+".pdf"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func page(t testing.TB, data []byte, n int) Page {
	t.Helper()
	f, err := Open(data)
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.Page(n)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		name  string
		page  int
		lines int
		box   paths.Rect
	}{
		{"lines", 1, 3, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 55, Y: 35})},
		{"plain", 1, 3, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 55, Y: 35})},
		{"gs", 1, 3, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 55, Y: 35})},
		{"packed", 1, 3, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 55, Y: 35})},
		{"packed", 2, 1, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 55, Y: 35})},
		{"turned", 1, 3, paths.RectOf(paths.Point{X: 5, Y: 5}, paths.Point{X: 35, Y: 55})},
	} {
		p := page(t, fileOf(t, c.name), c.page)
		var strokes []paths.Stroke
		for _, l := range p.Lines {
			strokes = append(strokes, l.Stroke)
			if math.Abs(l.Width-0.8) > 0.01 || l.Filled {
				t.Errorf("%s: a line %v mm wide, want 0.8", c.name, l.Width)
			}
		}
		b := paths.BoundsOf(strokes)
		if len(strokes) != c.lines || b.Min.Dist(c.box.Min) > 0.02 || b.Max.Dist(c.box.Max) > 0.02 || len(p.Notes) != 0 {
			t.Errorf("%s, page %d: %d lines in %v, notes %q", c.name, c.page, len(strokes), b, p.Notes)
		}
	}
}

// TestAgainstPoppler holds the lines against the picture that pdftoppm paints.
func TestAgainstPoppler(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm, which paints the picture to compare with, is not installed (Debian package poppler-utils)")
	}
	for _, c := range []struct {
		name string
		page int
	}{{"lines", 1}, {"two", 2}, {"gs", 1}, {"turned", 1}, {"packed", 2}} {
		const dpi = 127
		out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-f", fmt.Sprint(c.page), "-l", fmt.Sprint(c.page), "testdata/samples/"+c.name+".pdf").Output()
		if err != nil {
			t.Fatal(err)
		}
		w, pix := greymap(t, out)
		p := page(t, fileOf(t, c.name), c.page)
		const mm = 25.4 / dpi
		seen := make([]bool, len(pix))
		for _, l := range p.Lines {
			for _, q := range along(l.Stroke) {
				x, y := int(q.X/mm), int((p.H-q.Y)/mm)
				if min(q.Dist(l.Stroke.Start()), q.Dist(l.Stroke.End())) > 0.5 && pix[y*w+x] > 128 {
					t.Fatalf("%s: nothing is painted at %v", c.name, q)
				}
				for j := range 49 { // no line of the samples lies this near an edge
					seen[(y+j/7-3)*w+x+j%7-3] = true
				}
			}
		}
		for i, v := range pix {
			if v < 128 && !seen[i] {
				t.Fatalf("%s: something is painted at %d, %d that is no line", c.name, i%w, i/w)
			}
		}
	}
}

// greymap reads a PGM.
func greymap(t *testing.T, data []byte) (w int, pix []byte) {
	var h, most int
	if _, err := fmt.Sscanf(string(data), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil {
		t.Fatal(err)
	}
	return w, data[len(data)-w*h:]
}

// along returns places close to one another on a stroke.
func along(s paths.Stroke) (out []paths.Point) {
	pts := s.Flatten(0.01)
	for i := 1; i < len(pts); i++ {
		for k := range 200 {
			out = append(out, pts[i-1].Lerp(pts[i], float64(k)/200))
		}
	}
	return out
}

func TestPictures(t *testing.T) {
	var segments [][2]paths.Point
	for _, l := range page(t, fileOf(t, "lines"), 1).Lines {
		pts := l.Stroke.Flatten(0.02)
		for i := 1; i < len(pts); i++ {
			segments = append(segments, [2]paths.Point{pts[i-1], pts[i]})
		}
	}
	for _, c := range []struct {
		name  string
		count int
	}{{"imgscan", 1}, {"photo", 1}, {"strips", 15}} {
		p := page(t, fileOf(t, c.name), 1)
		if len(p.Pictures) != c.count || len(p.Lines) != 0 {
			t.Errorf("%s: %d pictures, %d lines", c.name, len(p.Pictures), len(p.Lines))
		}
		ink := 0
		for _, pic := range p.Pictures {
			img, err := pic.Decode()
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			for i := range pic.W * pic.H {
				if r, _, _, _ := img.At(i%pic.W, i/pic.W).RGBA(); r > 0x8000 {
					continue
				}
				ink++
				q := pic.Place.Apply(paths.Point{X: (float64(i%pic.W) + 0.5) / float64(pic.W), Y: 1 - (float64(i/pic.W)+0.5)/float64(pic.H)})
				near := math.Inf(1)
				for _, s := range segments {
					u := s[1].Sub(s[0])
					near = min(near, q.Dist(s[0].Lerp(s[1], min(1, max(0, q.Sub(s[0]).Dot(u)/u.Dot(u))))))
				}
				if near > 0.8 {
					t.Fatalf("%s: ink at %v, %v mm from every line", c.name, q, near)
				}
			}
		}
		if ink < 100 {
			t.Errorf("%s: %d pixels of ink", c.name, ink)
		}
	}
}

// TestScansFitInMemory asks what the pages of common scanners take for a pixel:
// 35 million pixels of A4 at 600 an inch must stay under 400 MB.
func TestScansFitInMemory(t *testing.T) {
	for want, d := range map[float64]string{
		3:     "/Filter/DCTDecode/ColorSpace/DeviceRGB/BitsPerComponent 8",
		15:    "/Filter/DCTDecode/ColorSpace/DeviceRGB/BitsPerComponent 8/Late true",
		1.125: "/Filter/CCITTFaxDecode/ColorSpace/DeviceGray/BitsPerComponent 1",
		7:     "/Filter/FlateDecode/ColorSpace/DeviceRGB/BitsPerComponent 8",
		5:     "/ColorSpace[/Indexed/DeviceRGB 1<000000ffffff>]/BitsPerComponent 8",
	} {
		raw := "\xff\xd8\xff\xc0"
		if strings.Contains(d, "Late") {
			raw = "\xff\xd8\xff\xc2"
		}
		p := page(t, made("/X Do", "<</Subtype/Image/Width 4960/Height 7016"+d+"/Length 4>> stream\n"+raw+"\nendstream"), 1)
		if len(p.Pictures) != 1 || p.Pictures[0].PerPixel != want {
			t.Errorf("%s: %+v, want %v bytes a pixel", d, p.Pictures, want)
		}
	}
}

// made is a file of one page of 72 x 144 units with this content, packed.
func made(content string, objects ...string) []byte {
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	fmt.Fprint(w, content)
	w.Close()
	var b strings.Builder
	b.WriteString("%PDF-1.4\n1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj\n2 0 obj <</Type/Pages/Kids[3 0 R]/Count 1/MediaBox[0 0 72 144]>> endobj\n")
	b.WriteString("3 0 obj <</Type/Page/Parent 2 0 R/Contents 4 0 R/Resources<</XObject<</X 5 0 R>>>>>> endobj\n")
	fmt.Fprintf(&b, "4 0 obj <</Filter/FlateDecode/Length %d>> stream\n%s\nendstream endobj\n", z.Len(), z.String())
	for i, o := range objects {
		fmt.Fprintf(&b, "%d 0 obj %s endobj\n", i+5, o)
	}
	return []byte(b.String() + "trailer <</Root 1 0 R>>\n")
}

func TestOperators(t *testing.T) {
	const in = paths.MMPerInch
	for _, c := range []struct {
		content string
		want    string // start and end of each line in inches
		notes   int
	}{
		{"0 0 m 72 72 l S", "0,0-1,1", 0},
		{"q 2 0 0 2 0 0 cm 0 0 m 18 18 l S Q 0 0 m 72 0 l S", "0,0-0.5,0.5 0,0-1,0", 0},
		{"0 0 36 36 re f", "0,0-0,0", 1},
		{"1 g 0 0 36 36 re f", "", 1},
		{"1 1 1 rg 0 0 36 36 re B", "0,0-0,0", 0},
		{"0 0 m 0 72 l 36 72 l s", "0,0-0,0", 0},
		{"0 0 72 144 re W n 0 0 m 72 72 l S", "0,0-1,1", 0},
		{"0 0 7 7 re W n 0 0 m 72 72 l S", "0,0-1,1", 1},
		{"[3 3] 0 d 0 0 m 72 72 l S", "0,0-1,1", 1},
		{"BT (a) Tj ET", "", 1},
		{"0 0 m 0 36 36 36 36 0 c S", "0,0-0.5,0", 0},
		{"0 0 m 36 36 36 0 v S 0 0 m 0 36 36 0 y S", "0,0-0.5,0 0,0-0.5,0", 0},
		{"500 500 m 600 600 l S 0 0 m 1e30 0 l S 36 36 m 72 72 l S", "0.5,0.5-1,1", 1},
		{"/X Do", "0,0-1,1", 0},
		{"0 0 m 72 72 l h 36 0 l S", "0,0-0,0 0,0-0.5,0", 0},
	} {
		p := page(t, made(c.content, "<</Subtype/Form/Length 17>> stream\n0 0 m 72 72 l S  \nendstream"), 1)
		var got []string
		for _, l := range p.Lines {
			a, b := l.Stroke.Start().Mul(1/in), l.Stroke.End().Mul(1/in)
			got = append(got, fmt.Sprintf("%.4g,%.4g-%.4g,%.4g", a.X, a.Y, b.X, b.Y))
		}
		if g := strings.Join(got, " "); g != c.want || len(p.Notes) != c.notes {
			t.Errorf("%q: %q, want %q; notes %q", c.content, g, c.want, p.Notes)
		}
		if math.Abs(p.W-in) > 1e-9 || math.Abs(p.H-2*in) > 1e-9 {
			t.Errorf("the page is %v x %v mm", p.W, p.H)
		}
	}
}

// TestHostile reads files that ask for more than there is.
func TestHostile(t *testing.T) {
	if _, err := Open(fileOf(t, "locked")); !errors.Is(err, ErrLocked) {
		t.Errorf("locked: %v", err)
	}
	loop := "<</Subtype/Form/Length 6/Resources<</XObject<</X 5 0 R>>>>>> stream\n/X Do \nendstream"
	twice := "<</Subtype/Form/Length 12/Resources<</XObject<</X 5 0 R>>>>>> stream\n/X Do /X Do \nendstream"
	for name, data := range map[string][]byte{
		"a bomb":              made(strings.Repeat(" ", maxUnpacked+10)),
		"a form in itself":    made("/X Do", loop),
		"a form twice in it":  made("/X Do", twice),
		"nested lists":        made(strings.Repeat("[", 5000)),
		"unmatched q":         made(strings.Repeat("q ", 300_000)),
		"many operators":      made(strings.Repeat("q Q ", maxOperators/2+10)),
		"nothing":             []byte("%PDF-1.4"),
		"a page tree in ring": []byte("%PDF-1.4\n1 0 obj <</Type/Catalog/Pages 2 0 R>> endobj 2 0 obj <</Kids[2 0 R 2 0 R]>> endobj trailer <</Root 1 0 R>>"),
		"streams without end": []byte("%PDF-1.4\n" + strings.Repeat("1 0 obj <<>> stream\n", 50_000)),
		"lists without end":   []byte("%PDF-1.4\n" + strings.Repeat("1 0 obj [ ", 100_000)),
		"open dictionaries":   []byte("%PDF-1.4\n" + strings.Repeat("1 0 obj << /A ", 100_000)),
	} {
		f, err := Open(data)
		if err == nil {
			_, err = f.Page(1)
		}
		if name != "unmatched q" && err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	for _, name := range []string{"two", "packed", "imgscan", "strips"} {
		data := fileOf(t, name)
		for n := 0; n < len(data); n += max(1, len(data)/60) {
			read(data[:n])
		}
	}
}

// read reads all that a small file holds.
func read(data []byte) {
	f, err := Open(data)
	if err != nil {
		return
	}
	for n := range min(f.Pages(), 3) {
		p, err := f.Page(n + 1)
		if err != nil {
			continue
		}
		for _, c := range p.Pictures {
			if c.W*c.H <= 1<<18 {
				_, _ = c.Decode()
			}
		}
	}
}

// FuzzPage holds every page to what Page promises.
func FuzzPage(f *testing.F) {
	for _, name := range []string{"lines", "plain", "gs", "two", "packed", "locked", "turned", "imgscan", "photo"} {
		f.Add(fileOf(f, name))
	}
	f.Add(made("0 0 36 36 re f BI /W 1 /H 1 ID x EI /X Do", "<</Subtype/Image/Width 4/Height 2/BitsPerComponent 2/ColorSpace[/Indexed/DeviceRGB 1<000000ffffff>]/Filter/AHx/Length 5>> stream\n1b1b>\nendstream"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Open(data)
		if err != nil {
			return
		}
		p, err := file.Page(1)
		if err != nil {
			return
		}
		if !(p.W >= 1 && p.H >= 1 && p.W <= 20_000 && p.H <= 20_000) {
			t.Fatalf("a page of %v x %v mm", p.W, p.H)
		}
		for _, l := range p.Lines {
			if err := l.Stroke.Validate(); err != nil {
				t.Fatal(err)
			}
		}
		for _, c := range p.Pictures {
			if c.W*c.H <= 1<<16 {
				if img, err := c.Decode(); err == nil && (img.Bounds().Dx() != c.W || img.Bounds().Dy() != c.H) {
					t.Fatalf("%v, want %d x %d", img.Bounds(), c.W, c.H)
				}
			}
		}
	})
}
