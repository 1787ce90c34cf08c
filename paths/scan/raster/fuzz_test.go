package raster

import (
	"encoding/binary"
	"image"
	"image/color"
	"math"
	"testing"

	"weftplot/paths/bounded/boundedtest"
)

// FuzzDecode holds every reading to what Decode promises: a fault that names the
// file, or a page of square pixels of a known size.
func FuzzDecode(f *testing.F) {
	small := letter(20, 24)
	grey := image.NewGray(image.Rect(0, 0, 24, 20))
	two := image.NewPaletted(image.Rect(0, 0, 20, 20), color.Palette{color.Black, color.White})
	for _, file := range [][]byte{
		withChunk(encoded(f, formatPNG, small), "pHYs", phys(11811, 11811, 1)),
		withChunk(encoded(f, formatPNG, two), "eXIf", exif(binary.BigEndian, 7, [2]uint32{300, 1}, [2]uint32{150, 1}, 3)),
		withSegment(encoded(f, formatJPEG, small), 0xe0, jfif(2, 118, 60)),
		withSegment(encoded(f, formatJPEG, grey), 0xe1, inApp1(exif(binary.LittleEndian, 6, [2]uint32{204, 1}, [2]uint32{98, 1}, 2))),
		fileOf(f, "testdata/samples/fax.tif"), fileOf(f, "testdata/samples/jpeg.tif"), fileOf(f, "testdata/samples/jpegrgb.tif"), fileOf(f, "testdata/samples/jpegtiles.tif"),
		encoded(f, formatTIFF, grey), encoded(f, formatTIFF, two), encoded(f, formatTIFF, small),
	} {
		for how := range byte(4) {
			f.Add(how, file)
		}
	}
	f.Fuzz(func(t *testing.T, how byte, data []byte) {
		opt := [4]Options{{}, {DPI: [2]float64{300, 204}}, {WidthMM: 120}, {Sheet: Sheet{210, 297}}}[how%4]
		if h, err := readHeader("picture", data, 1); err == nil && h.w*h.h > 1<<20 {
			return // valid, but slow
		}
		p, src, err := Decode("picture", data, opt)
		if err != nil {
			if boundedtest.CheckError(t, err); len(p.Light) != 0 {
				t.Fatalf("error %v with a page of %d x %d", err, p.W, p.H)
			}
			return
		}
		checkPage(t, p, src)
	})
}

// checkPage checks what holds of every page that is decoded.
func checkPage(t *testing.T, p Page, src Source) {
	if p.W < 1 || p.H < 1 || len(p.Light) != p.W*p.H || p.W*p.H > 2*maxPage || !(p.MM > 0) || math.IsInf(p.MM, 0) {
		t.Fatalf("a page of %d x %d pixels with %d values, %v mm each", p.W, p.H, len(p.Light), p.MM)
	}
	if src.SizeFrom == "" || src.Orientation < 1 || src.Orientation > 8 {
		t.Fatalf("source %+v", src)
	}
}
