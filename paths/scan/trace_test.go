package scan

import (
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
	"time"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/truth"
)

var (
	benchPages = flag.Bool("bench-pages", false, "trace whole pages of every kind and print how near they come")
	overlays   = flag.String("overlays", "", "a folder for pictures of traced lines over their pages")
)

// measured traces a picture of a drawing and measures it.
func measured(t *testing.T, d truth.Drawing, p truth.Paper, dpi float64) truth.Score {
	t.Helper()
	page, drawn := p.Of(d, dpi)
	from := time.Now()
	got, err := Trace(page, Options{})
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(from)
	for _, s := range got.Strokes {
		if err := s.Validate(); err != nil {
			t.Errorf("%v", err)
		}
	}
	score := truth.Compare(got.Strokes, drawn.Strokes)
	name := fmt.Sprintf("%s-%s-%.1f-%.0f", d.Name, p.Name, p.Width, dpi)
	t.Logf("%-24s %v  line %.2f  %.2fs", name, score, got.LineMM, took.Seconds())
	if *overlays != "" {
		overlay(t, filepath.Join(*overlays, name+".png"), page, got, drawn.Strokes)
	}
	return score
}

// overlay saves a page with what was traced in red, what was drawn in blue, and
// nodes as green dots.
func overlay(t *testing.T, name string, page raster.Page, got Tracing, drawn []paths.Stroke) {
	t.Helper()
	const k = 2
	img := image.NewRGBA(image.Rect(0, 0, page.W*k, page.H*k))
	for y := range page.H * k {
		for x := range page.W * k {
			g := 128 + page.Light[y/k*page.W+x/k]/2
			img.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	dot := func(p paths.Point, c color.RGBA, r int) {
		x, y := int(p.X/page.MM*k), int((float64(page.H)-p.Y/page.MM)*k)
		for dy := -r; dy <= r; dy++ {
			for dx := -r; dx <= r; dx++ {
				if image.Pt(x+dx, y+dy).In(img.Rect) {
					img.SetRGBA(x+dx, y+dy, c)
				}
			}
		}
	}
	paint := func(list []paths.Stroke, c color.RGBA) {
		for _, s := range list {
			pts := s.Flatten(0.01)
			for i := 1; i < len(pts); i++ {
				n := int(pts[i].Dist(pts[i-1])/page.MM*k*1.5) + 1
				for j := range n + 1 {
					dot(pts[i-1].Lerp(pts[i], float64(j)/float64(n)), c, 0)
				}
			}
		}
	}
	paint(drawn, color.RGBA{0, 0, 255, 255})
	paint(got.Strokes, color.RGBA{255, 0, 0, 255})
	for _, s := range got.Strokes {
		for _, c := range s {
			dot(c.Start(), color.RGBA{0, 160, 0, 255}, 2)
			dot(c.End(), color.RGBA{0, 160, 0, 255}, 2)
		}
	}
	for _, f := range got.Finds {
		dot(f.At, color.RGBA{255, 0, 255, 255}, 3)
	}
	file, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := png.Encode(file, img); err != nil {
		t.Fatal(err)
	}
}

func TestBenchPages(t *testing.T) {
	if !*benchPages {
		t.Skip("whole pages take minutes: -bench-pages")
	}
	for _, d := range []truth.Drawing{truth.Corner(), truth.Rug(), truth.Harbour()} {
		for _, kind := range []func(float64) truth.Paper{truth.Scan, truth.Pencil, truth.Faint, truth.Photo} {
			for _, width := range []float64{0.5, 0.8, 1.2} {
				for _, dpi := range []float64{300, 150} {
					p := kind(width)
					t.Run(fmt.Sprintf("%s-%s-%.1f-%.0f", d.Name, p.Name, width, dpi), func(t *testing.T) {
						measured(t, d, p, dpi)
					})
				}
			}
		}
	}
}

// TestLargePage traces an A3 sheet and logs the time and memory.
func TestLargePage(t *testing.T) {
	if !*benchPages {
		t.Skip("a whole A3 sheet takes long: -bench-pages")
	}
	rug := truth.Rug()
	d := truth.Fit("a3", rug.Strokes, 297, 420, 12)
	measured(t, d, truth.Pencil(0.8), 300)
}

// TestSmallPage holds a small page to bounds slightly above today's results.
func TestSmallPage(t *testing.T) {
	for _, c := range []struct {
		paper     truth.Paper
		dpi       float64
		mean, p95 float64 // mm
		missing   float64 // percent
		long      bool    // only where the run is thorough
	}{
		{truth.Scan(0.8), 300, 0.03, 0.08, 0.3, true},
		{truth.Scan(0.5), 150, 0.03, 0.08, 0.3, false},
		{truth.Pencil(0.8), 300, 0.03, 0.08, 0.3, true},
		{truth.Faint(0.5), 300, 0.06, 0.15, 0.3, false},
		{truth.Photo(0.5), 300, 0.03, 0.08, 0.3, false},
	} {
		if c.long && !*thorough {
			continue
		}
		s := measured(t, truth.Corner(), c.paper, c.dpi)
		if s.Mean > c.mean || s.P95 > c.p95 || s.Missing > c.missing || s.Spurious > 0.3 ||
			float64(s.Strokes) > 1.3*float64(s.TrueStrokes) || float64(s.Nodes) > 1.5*float64(s.TrueNodes) {
			t.Errorf("%s %.1f at %.0f: %v", c.paper.Name, c.paper.Width, c.dpi, s)
		}
	}
}
