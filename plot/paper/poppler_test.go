package paper

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"weftplot/paths"
)

var every = flag.Bool("every-page", false, "render every page of the large patterns too")

// render draws the pages of a PDF with poppler, an independent reader, at 300 dots an
// inch.
func render(t *testing.T, pdf []byte) []*image.Gray {
	t.Helper()
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("pdftoppm (poppler) is not installed")
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "p.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-gray", "-r", "300", file, filepath.Join(dir, "p")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "p-*.pgm"))
	if err != nil {
		t.Fatal(err)
	}
	var pages []*image.Gray
	for _, n := range names {
		data, err := os.ReadFile(n)
		if err != nil {
			t.Fatal(err)
		}
		var w, h, most int
		if _, err := fmt.Fscanf(bytes.NewReader(data), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil {
			t.Fatal(err)
		}
		pages = append(pages, &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)})
	}
	return pages
}

const dot = 25.4 / 300 // mm

// dark returns where the darkness under a window is centred, in mm from the page's
// lower left corner, and how much there is.
func dark(g *image.Gray, at paths.Point, r float64) (centre paths.Point, sum float64) {
	h := float64(g.Rect.Dy()) * dot
	for y := int((h - at.Y - r) / dot); y <= int((h-at.Y+r)/dot); y++ {
		for x := int((at.X - r) / dot); x <= int((at.X+r)/dot); x++ {
			if !(image.Point{X: x, Y: y}).In(g.Rect) {
				continue
			}
			// Help lines are grey: only what is nearly black counts.
			if v := g.GrayAt(x, y).Y; v < 90 {
				k := float64(90-v) / 90
				centre = centre.Add(pt((float64(x)+0.5)*dot, h-(float64(y)+0.5)*dot).Mul(k))
				sum += k
			}
		}
	}
	return centre.Mul(1 / max(sum, 1e-9)), sum
}

// Every line of every page lies within 0.1 mm of where it belongs, and so do the
// crosses, so that neighbours meet: poppler draws, and the middle of the black is
// taken across each line.
func TestPopplerFindsEveryLine(t *testing.T) {
	cases := []struct {
		name string
		p    Pattern
		size string
		s    Scale
	}{{"two sheets", pattern(rectangle(150, 300), paths.Stroke{paths.Circle(pt(75, 150), 60)}), "letter", Scale{1.004, 0.998}}}
	if *every {
		cases = append(cases, struct {
			name string
			p    Pattern
			size string
			s    Scale
		}{"harbour", harbour(), "a3", Unit}, struct {
			name string
			p    Pattern
			size string
			s    Scale
		}{"harbour", harbour(), "36in-roll", Unit})
	}
	for _, c := range cases {
		opt := options(c.size)
		opt.Scale = c.s
		plan, err := Lay(c.p, opt)
		if err != nil {
			t.Fatal(err)
		}
		pdf, err := plan.PDF()
		if err != nil {
			t.Fatal(err)
		}
		pages := render(t, pdf)
		worst, looked := 0.0, 0
		for i, s := range plan.Sheets {
			g := pages[i]
			// Two ways lead to a page: through the plan, and the promise of the report.
			at := func(q paths.Point) paths.Point {
				return pt((q.X-s.Origin.X)/c.s.X, (q.Y-s.Origin.Y)/c.s.Y)
			}
			for _, k := range c.p.Ink {
				n := int(k.Stroke.Length() / 7)
				for j := 1; j < n; j++ {
					q, normal, ok := along(k.Stroke, float64(j)/float64(n))
					if !ok || !s.Carries.Grow(-2).Contains(q) || nearOther(c.p, k.Stroke, q) || nearCross(s, q) {
						continue
					}
					centre, sum := dark(g, at(q), 0.6)
					if sum == 0 {
						t.Errorf("%s, %s: nothing is drawn at %v", c.name, s.Name, q)
						continue
					}
					looked++
					off := math.Abs(centre.Sub(at(q)).Dot(normal))
					worst = max(worst, off)
				}
			}
			for _, x := range s.Crosses() {
				if nearInk(c.p, x) {
					continue
				}
				centre, sum := dark(g, at(x), 2)
				if sum == 0 {
					t.Errorf("%s, %s: no cross at %v", c.name, s.Name, x)
				}
				looked++
				worst = max(worst, centre.Dist(at(x)))
			}
		}
		t.Logf("%s on %s: %d places on %d sheets, %.3f mm off at most", c.name, c.size, looked, len(plan.Sheets), worst)
		if worst > 0.1 || looked < 50 {
			t.Errorf("%s: %.3f mm off at most, of %d places", c.name, worst, looked)
		}
	}
}

// along returns the point of a stroke at a share of its length, with the normal there;
// ok is false at corners.
func along(s paths.Stroke, share float64) (q, normal paths.Point, ok bool) {
	left := share * s.Length()
	for _, c := range s {
		l := c.Length()
		if left > l {
			left -= l
			continue
		}
		t := left / l
		return c.At(t), c.Tangent(t).Unit().Left(), left > 1 && left < l-1
	}
	return paths.Point{}, paths.Point{}, false
}

func nearOther(p Pattern, own paths.Stroke, q paths.Point) bool {
	for _, k := range p.Ink {
		if &k.Stroke[0] == &own[0] {
			continue
		}
		for _, v := range k.Stroke.Flatten(0.05) {
			if v.Dist(q) < 4 {
				return true
			}
		}
		for _, c := range k.Stroke {
			if l, isLine := c.(paths.Line); isLine && l.Dist(q) < 3 {
				return true
			}
		}
	}
	return false
}

func nearInk(p Pattern, q paths.Point) bool {
	return nearOther(p, paths.Stroke{paths.Line{}}, q)
}

func nearCross(s Sheet, q paths.Point) bool {
	for _, c := range s.Crosses() {
		if math.Abs(c.X-q.X) < 4 && math.Abs(c.Y-q.Y) < 4 {
			return true
		}
	}
	return false
}

// qpdf, an independent reader, finds nothing wrong with the file.
func TestQPDF(t *testing.T) {
	if _, err := exec.LookPath("qpdf"); err != nil {
		t.Skip("qpdf is not installed")
	}
	plan, err := Lay(pattern(rectangle(150, 300)), options("letter"))
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := plan.PDF()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "p.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil {
		t.Errorf("%v: %s", err, out)
	}
}

// What must be read on every sheet is there as text.
func TestWordsOfASheet(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext (poppler) is not installed")
	}
	for _, mirrored := range []bool{false, true} {
		p := pattern(rectangle(300, 300))
		p.Mirrored = mirrored
		plan, err := Lay(p, options("letter"))
		if err != nil {
			t.Fatal(err)
		}
		pdf, err := plan.PDF()
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "p.pdf")
		if err := os.WriteFile(file, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		for i, s := range plan.Sheets {
			n := fmt.Sprint(i + 1)
			out, err := exec.Command("pdftotext", "-f", n, "-l", n, "-layout", file, "-").Output()
			if err != nil {
				t.Fatal(err)
			}
			text := string(bytes.Join(bytes.Fields(out), []byte(" ")))
			has, not := []string{"Sheet " + s.Name, "4 in", "10 cm", "edge up", "fitting to the page"}, []string{}
			if mirrored {
				has, not = append(has, "back", "mirrored"), append(not, "front", "read right")
			} else {
				has, not = append(has, "front", "read right"), append(not, "back", "mirrored")
			}
			for _, w := range has {
				if !bytes.Contains([]byte(text), []byte(w)) {
					t.Errorf("sheet %s does not say %q: %s", s.Name, w, text)
				}
			}
			for _, w := range not {
				if bytes.Contains([]byte(text), []byte(w)) {
					t.Errorf("sheet %s says %q", s.Name, w)
				}
			}
		}
	}
}

// The sheets laid together by their crosses: a picture to be looked at, with -keep.
func TestLaidTogether(t *testing.T) {
	if *keep == "" {
		t.Skip("draws a picture to be looked at: give -keep DIR")
	}
	plan, err := Lay(harbour(), options("letter"))
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := plan.PDF()
	if err != nil {
		t.Fatal(err)
	}
	pages := render(t, pdf)
	whole := paths.EmptyRect()
	for _, s := range plan.Sheets {
		whole = whole.Union(s.Own)
	}
	const step, dots = 0.8, 9 // mm a pixel, and dots of the printer in it
	out := image.NewGray(image.Rect(0, 0, int(whole.Width()/step)+1, int(whole.Height()/step)+1))
	for i, s := range plan.Sheets {
		g, h := pages[i], float64(pages[i].Rect.Dy())*dot
		for y := range out.Rect.Dy() {
			for x := range out.Rect.Dx() {
				q := pt(whole.Min.X+float64(x)*step, whole.Max.Y-float64(y)*step)
				if !s.Own.Contains(q) {
					continue
				}
				// The darkest dot under the pixel, so that thin lines stay.
				p, least := q.Sub(s.Origin), uint8(255)
				for dy := range dots {
					for dx := range dots {
						least = min(least, g.GrayAt(int(p.X/dot)+dx, int((h-p.Y)/dot)+dy).Y)
					}
				}
				out.SetGray(x, y, color.Gray{Y: least})
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, out); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(*keep, "together.png"), b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}
