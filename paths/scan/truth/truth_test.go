package truth

import (
	"bytes"
	"fmt"
	"image/png"
	"math"
	"os/exec"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

func TestCompareKnownErrors(t *testing.T) {
	line := []paths.Stroke{paths.Polyline(pt(0, 0), pt(100, 0))}
	for _, c := range []struct {
		name                    string
		found                   []paths.Stroke
		mean, missing, spurious float64
		nodes                   int
	}{
		{"the same", line, 0, 0, 0, 2},
		{"a tenth off", []paths.Stroke{paths.Polyline(pt(0, 0.1), pt(100, 0.1))}, 0.1, 0, 0, 2},
		{"half of it", []paths.Stroke{paths.Polyline(pt(0, 0), pt(50, 0))}, 0, 49, 0, 2},
		{"another line too", append([]paths.Stroke{paths.Polyline(pt(0, 20), pt(30, 20))}, line...), 0, 0, 30, 4},
		{"nothing", nil, 0, 100, 0, 0},
	} {
		s := Compare(c.found, line)
		if math.Abs(s.Mean-c.mean) > 1e-6 || math.Abs(s.Missing-c.missing) > 0.11 || math.Abs(s.Spurious-c.spurious) > 0.11 || s.Nodes != c.nodes {
			t.Errorf("%s: %v", c.name, s)
		}
	}
}

// TestAgainstRenderer compares a perfect picture with rsvg-convert's of the same
// strokes.
func TestAgainstRenderer(t *testing.T) {
	if _, err := exec.LookPath("rsvg-convert"); err != nil {
		t.Skip("rsvg-convert, which paints the picture to compare with, is not installed (Debian package librsvg2-bin)")
	}
	d := Corner()
	var file strings.Builder
	fmt.Fprintf(&file, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %[1]g %[2]g"><g fill="none" stroke="#000" stroke-width="0.8" stroke-linecap="round" stroke-linejoin="round">`, d.W, d.H)
	for _, s := range d.Strokes {
		file.WriteString(`<polyline points="`)
		for _, p := range s.Flatten(0.003) {
			fmt.Fprintf(&file, "%.4f,%.4f ", p.X, d.H-p.Y)
		}
		if s.IsDot() { // a second point a hair away: some renderers leave out empty lines
			fmt.Fprintf(&file, "%.4f,%.4f", s.Start().X+0.001, d.H-s.Start().Y)
		}
		file.WriteString(`"/>`)
	}
	file.WriteString("</g></svg>")
	page, _ := Paper{Width: 0.8, Dark: 1}.Of(d, 254)
	cmd := exec.Command("rsvg-convert", "--width", fmt.Sprint(page.W), "--height", fmt.Sprint(page.H), "--background-color", "white")
	cmd.Stdin = strings.NewReader(file.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(out))
	if err != nil {
		t.Fatal(err)
	}
	var differ, ink float64
	worst := 0.0
	for i, l := range page.Light {
		g, _, _, _ := img.At(i%page.W, i/page.W).RGBA()
		e := math.Abs(float64(l)/245 - float64(g)/65535)
		differ, ink, worst = differ+e, ink+1-float64(g)/65535, max(worst, e)
	}
	t.Logf("%.2f %% of the ink differs, at most by %.2f", 100*differ/ink, worst)
	if ink < 1000 || differ/ink > 0.02 || worst > 0.35 {
		t.Errorf("%.2f %% of %v pixels of ink differ, by up to %v", 100*differ/ink, ink, worst)
	}
}

func TestPaperIsAsSaid(t *testing.T) {
	d := Drawing{"line", 40, 20, []paths.Stroke{paths.Polyline(pt(5, 10), pt(35, 10))}}
	page, turned := Paper{Width: 1, Dark: 0.5, Turn: 90, FallOff: 0.4}.Of(d, 254)
	if page.W != 400 || page.H != 200 || math.Abs(page.MM-0.1) > 1e-12 {
		t.Fatalf("the page is %d by %d of %v mm", page.W, page.H, page.MM)
	}
	if s := turned.Strokes[0]; s.Start().Dist(pt(20, -5)) > 1e-9 {
		t.Errorf("turned by a quarter the line begins at %v", s.Start())
	}
	at := func(p raster.Page, x, y int) int { return int(p.Light[y*p.W+x]) }
	if l, want := at(page, 200, 100), int(math.Round(245*0.5*(1-0.4*0.25))); l < want-2 || l > want+2 {
		t.Errorf("the line's light is %d, want %d", l, want)
	}
	if l, want := at(page, 399, 199), int(math.Round(245*0.6)); l < want-2 || l > want+2 {
		t.Errorf("the far corner's light is %d, want %d", l, want)
	}
	again, _ := Pencil(0.8).Of(Corner(), 100)
	same, _ := Pencil(0.8).Of(Corner(), 100)
	if !bytes.Equal(again.Light, same.Light) {
		t.Error("the same seed gives two pictures")
	}
}

func TestDrawings(t *testing.T) {
	for _, d := range []Drawing{Corner(), Rug(), Harbour()} {
		sheet := paths.Rect{Max: pt(d.W, d.H)}
		for i, s := range d.Strokes {
			if err := s.Validate(); err != nil {
				t.Errorf("%s: stroke %d: %v", d.Name, i, err)
			}
		}
		if by, side := sheet.Excess(paths.BoundsOf(d.Strokes)); by > 0 || len(d.Strokes) < 15 {
			t.Errorf("%s: %d strokes, %v mm over the %s", d.Name, len(d.Strokes), by, side)
		}
	}
	f := Fit("fit", []paths.Stroke{paths.Polyline(pt(0, 0), pt(1000, 500))}, 100, 100, 10)
	if b := paths.BoundsOf(f.Strokes); b.Min.Dist(pt(10, 30)) > 1e-9 || b.Max.Dist(pt(90, 70)) > 1e-9 {
		t.Errorf("fitted to %v", b)
	}
}
