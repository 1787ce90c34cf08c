package raster

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/paths"
)

func fileOf(t testing.TB, name string) []byte {
	data, err := os.ReadFile(filepath.FromSlash(name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestFormats reads pictures by other programs (libtiff 4.5, Ghostscript 10.0,
// cwebp 1.2.4) through the whole of Decode.
func TestFormats(t *testing.T) {
	given := Options{DPI: [2]float64{150, 150}}
	for _, c := range []struct {
		file, format string
		opt          Options
		pages        int
	}{
		{"testdata/samples/fax.tif", "TIFF", Options{}, 2},
		{"testdata/samples/fax.tif", "TIFF", Options{Page: 2}, 2},
		{"testdata/samples/jpeg.tif", "TIFF", Options{}, 1},
		{"testdata/samples/jpegrgb.tif", "TIFF", Options{}, 1},
		{"testdata/samples/jpegtiles.tif", "TIFF", Options{}, 1},
		{"../codec/testdata/samples/lossy.webp", "WebP", given, 1},
		{"../codec/testdata/samples/alpha.webp", "WebP", given, 1},
		{"../codec/testdata/samples/bmpgray.bmp", "BMP", given, 1},
	} {
		p, src, err := Decode(c.file, fileOf(t, c.file), c.opt)
		if err != nil || src.Format != c.format || src.Pages != c.pages || src.Page != max(1, c.opt.Page) {
			t.Errorf("%s: %+v, %v", c.file, src, err)
			continue
		}
		at := func(x, y float64) uint8 { return p.Light[int(y*float64(p.H))*p.W+int(x*float64(p.W))] }
		if at(0.13, 0.6) > 128 || at(0.5, 0.16) > 128 || at(0.7, 0.5) < 128 || at(0.5, 0.8) < 128 {
			t.Errorf("%s shows no F", c.file)
		}
		if told := strings.Contains(strings.Join(src.Notes, ""), "[page]"); told != (c.pages > 1 && c.opt.Page == 0) {
			t.Errorf("%s: notes %q", c.file, src.Notes)
		}
		if _, _, err := Decode(c.file, fileOf(t, c.file), Options{Page: 3, DPI: [2]float64{150, 150}}); err == nil || !strings.Contains(err.Error(), "no page 3") {
			t.Errorf("%s, page 3: %v", c.file, err)
		}
	}
}

// TestPDF reads the samples of package pdf, which all show the same drawing on a
// page of 60 x 40 mm.
func TestPDF(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines int
		w, h  float64 // mm
	}{{"imgscan", 0, 60, 40}, {"photo", 0, 60, 40}, {"strips", 0, 60, 40}, {"lines", 3, 60, 40}, {"turned", 3, 40, 60}} {
		opt := Options{}
		if c.name == "photo" {
			opt.DPI = [2]float64{72, 72} // fewer than are believed without being given
		}
		p, src, err := Decode(c.name, fileOf(t, "../pdf/testdata/samples/"+c.name+".pdf"), opt)
		if err != nil || len(src.Lines) != c.lines {
			t.Errorf("%s: %d lines, %v", c.name, len(src.Lines), err)
			continue
		}
		if w, h := float64(p.W)*p.MM, float64(p.H)*p.MM; math.Abs(w-c.w) > 0.5 || math.Abs(h-c.h) > 0.5 {
			t.Errorf("%s: %v x %v mm", c.name, w, h)
		}
		if left, right, ok := inkExtent(grey{p.W, p.H, p.Light}); c.lines == 0 && (!ok || math.Abs((right-left)*p.MM-50.8) > 0.4) {
			t.Errorf("%s: the frame is %v mm wide to its outer edges, want 50.8", c.name, (right-left)*p.MM)
		}
	}
}

// TestPDFOfLines says of a page of lines what it may and may not be told.
func TestPDFOfLines(t *testing.T) {
	data := fileOf(t, "../pdf/testdata/samples/lines.pdf")
	_, src, err := Decode("lines", data, Options{WidthMM: 100})
	if b := paths.BoundsOf(src.Lines); err != nil || math.Abs(b.Width()-100) > 1e-6 || math.Abs(src.LinesMM-1.6) > 0.02 {
		t.Errorf("to 100 mm: %v wide, lines %v mm, %v", b.Width(), src.LinesMM, err)
	}
	for want, opt := range map[string]Options{"known size": {DPI: [2]float64{300, 300}}, "no page 2": {Page: 2}} {
		if _, _, err := Decode("lines", data, opt); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", opt, err)
		}
	}
	if _, _, err := Decode("locked", fileOf(t, "../pdf/testdata/samples/locked.pdf"), Options{}); err == nil || !strings.Contains(err.Error(), "password") {
		t.Errorf("locked: %v", err)
	}
}

// TestTurned places each pixel of a picture on a page in all eight ways, and asks
// for the orientation that puts it there.
func TestTurned(t *testing.T) {
	g := grey{3, 2, []uint8{1, 2, 3, 4, 5, 6}}
	for _, across := range []paths.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		for _, down := range []paths.Point{{X: across.Y, Y: across.X}, {X: -across.Y, Y: -across.X}} {
			out := upright(g, turned(across, down))
			// Where the pixels come to lie on the page, y down, from the upper left corner.
			for i, v := range g.pix {
				q := across.Mul(float64(i%3) - 1).Add(down.Mul(float64(i/3) - 0.5))
				x, y := q.X+float64(out.w-1)/2, float64(out.h-1)/2-q.Y
				if got := out.pix[int(y+0.5)*out.w+int(x+0.5)]; got != v {
					t.Errorf("across %v, down %v: pixel %d is at the place of %d", across, down, got, v)
				}
			}
		}
	}
}

// TestTIFFRing reads a file whose only directory is followed by itself.
func TestTIFFRing(t *testing.T) {
	data := encoded(t, formatTIFF, image.NewGray(image.Rect(0, 0, 20, 20)))
	d := orderOf(data)
	at := int(d.Uint32(data[4:]))
	end := at + 2 + 12*int(d.Uint16(data[at:]))
	d.PutUint32(data[end:], uint32(at))
	if n, _ := tiffPages(data, 1); n != 1 {
		t.Errorf("%d pages, want 1", n)
	}
}

// TestHostileFormats gives each reader files that are cut off or lie: an error with
// advice, or a page; never more than that.
func TestHostileFormats(t *testing.T) {
	files := map[string][]byte{}
	for _, pattern := range []string{"testdata/samples/*", "../codec/testdata/samples/*", "../pdf/testdata/samples/imgscan.pdf", "../pdf/testdata/samples/packed.pdf"} {
		names, err := filepath.Glob(pattern)
		if err != nil || len(names) == 0 {
			t.Fatal(pattern, err)
		}
		for _, n := range names {
			files[n] = fileOf(t, n)
		}
	}
	tried := 0
	for name, data := range files {
		for n := 0; n < len(data); n += max(1, len(data)/40) {
			flipped := bytes.Clone(data)
			flipped[n] ^= 0xff
			for _, f := range [][]byte{data[:n], flipped} {
				if h, err := readHeader(name, f, 1); err == nil && h.w*h.h > 1<<20 {
					continue
				}
				p, src, err := Decode(name, f, Options{DPI: [2]float64{200, 200}})
				if tried++; err == nil {
					checkPage(t, p, src)
				} else if len(p.Light) != 0 || strings.Count(err.Error(), "\n") > 0 {
					t.Errorf("%s, %d: %v with %d pixels", name, n, err, len(p.Light))
				}
			}
		}
	}
	if tried < 500 {
		t.Errorf("%d files were tried", tried)
	}
}

// TestPhonesOwnFormats refuses what no reader here takes, with what to do about it.
func TestPhonesOwnFormats(t *testing.T) {
	for brand, want := range map[string]string{"heic": "HEIC", "mif1": "HEIC", "avif": "AVIF", "mp42": "film"} {
		data := []byte(fmt.Sprintf("\x00\x00\x00\x18ftyp%s\x00\x00\x00\x00", brand))
		_, _, err := Decode("photo", data, Options{})
		if err == nil || !strings.Contains(err.Error(), want) || !IsPicture(data) {
			t.Errorf("%s: %v", brand, err)
		}
	}
	img := image.NewPaletted(image.Rect(0, 0, 20, 20), color.Palette{color.White})
	if IsPicture([]byte("<svg/>")) || !IsPicture(encoded(t, formatTIFF, img)) {
		t.Error("a picture and a drawing are mixed up")
	}
}
