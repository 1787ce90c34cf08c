package proof

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"weftplot/paths/fault"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

func decode(t *testing.T, data []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestPNGSize(t *testing.T) {
	for _, width := range []int{64, 333, 1200} {
		a, err := PNG(small(), width)
		if err != nil {
			t.Fatal(err)
		}
		b, err := PNG(small(), width)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(a, b) {
			t.Error("two runs differ")
		}
		if got := decode(t, a).Bounds().Dx(); got != width {
			t.Errorf("%d pixels wide, want %d", got, width)
		}
	}
}

func TestPNGRefuses(t *testing.T) {
	for _, width := range []int{-5, -1, 63, 1 << 20, math.MaxInt} {
		_, err := PNG(small(), width)
		var f *fault.Error
		if !errors.As(err, &f) || f.Kind != fault.Input {
			t.Errorf("width %d: %v, want a fault", width, err)
		}
	}
}

// TestSamePicture compares the pixels with those of librsvg, which renders the
// SVG on its own, with the same font.
func TestSamePicture(t *testing.T) {
	tool, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("rsvg-convert of Debian's librsvg2-bin is not installed: nothing to compare with")
	}
	env := goFontsOnly(t)
	scenes := map[string]Scene{"everything": small(), "mat": testScenes()["mat"], "skew": testScenes()["skew"], "scan": scanScene()}
	for name, s := range scenes {
		t.Run(name, func(t *testing.T) {
			const width = 400
			svg, err := SVG(s)
			if err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command(tool, "--width", fmt.Sprint(width), "--keep-aspect-ratio", "--unlimited", "--format", "png")
			cmd.Env = env
			cmd.Stdin = bytes.NewReader(svg)
			out, err := cmd.Output()
			if err != nil {
				t.Fatal(err)
			}
			pix, err := PNG(s, width)
			if err != nil {
				t.Fatal(err)
			}
			mean, far := difference(decode(t, pix), decode(t, out))
			t.Logf("mean difference %.3f of 255, %.3f %% of pixels differ by more than 64", mean, 100*far)
			if mean > 1.0 || far > 0.004 {
				t.Errorf("the pictures differ: by %.3f of 255 on average, by more than 64 on %.3f %% of the pixels", mean, 100*far)
				if *pictures != "" {
					_ = os.WriteFile(filepath.Join(*pictures, name+"-rsvg.png"), out, 0o644)
					_ = os.WriteFile(filepath.Join(*pictures, name+"-ours.png"), pix, 0o644)
				}
			}
		})
	}
}

// goFontsOnly returns an environment whose only fonts are those used for the
// pixels.
func goFontsOnly(t *testing.T) []string {
	t.Helper()
	dir := t.TempDir()
	conf := `<?xml version="1.0"?><fontconfig><dir>` + dir + `</dir><cachedir>` + dir + `</cachedir></fontconfig>`
	for name, data := range map[string][]byte{"r.ttf": goregular.TTF, "b.ttf": gobold.TTF, "fonts.conf": []byte(conf)} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return append(os.Environ(), "FONTCONFIG_FILE="+filepath.Join(dir, "fonts.conf"))
}

// difference returns the mean difference of a channel between two pictures over
// white, and the share of pixels in which one differs by more than 64.
func difference(a, b image.Image) (mean, far float64) {
	r := a.Bounds().Intersect(b.Bounds())
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			most := 0.0
			p, q := onWhite(a, x, y), onWhite(b, x, y)
			for i := range p {
				d := math.Abs(p[i] - q[i])
				mean += d / 3
				most = math.Max(most, d)
			}
			if most > 64 {
				far++
			}
		}
	}
	n := float64(r.Dx() * r.Dy())
	return mean / n, far / n
}

func onWhite(img image.Image, x, y int) [3]float64 {
	r, g, b, a := img.At(x, y).RGBA()
	rest := 0xffff - a
	return [3]float64{float64(r+rest) / 257, float64(g+rest) / 257, float64(b+rest) / 257}
}
