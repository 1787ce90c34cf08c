package raster

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"

	"golang.org/x/image/tiff"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// letter is a picture with no symmetry: an F, four pixels to a stroke, on white.
func letter(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{255, 255, 255, 255}
			if x >= 4 && x < 8 && y >= 4 && y < h-4 || y >= 4 && y < 8 && x >= 4 && x < w-4 || y >= 12 && y < 16 && x >= 4 && x < w/2 {
				c = color.NRGBA{20, 20, 20, 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

func encoded(t testing.TB, format string, img image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	var err error
	switch format {
	case formatPNG:
		err = png.Encode(&b, img)
	case formatJPEG:
		err = jpeg.Encode(&b, img, &jpeg.Options{Quality: 98})
	default:
		err = tiff.Encode(&b, img, &tiff.Options{Compression: tiff.Deflate})
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withChunk puts a chunk after the header of a PNG file.
func withChunk(data []byte, kind string, body []byte) []byte {
	const header = 33
	c := append([]byte(kind), body...)
	out := append([]byte{}, data[:header]...)
	out = binary.BigEndian.AppendUint32(out, uint32(len(body)))
	out = append(out, c...)
	out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(c))
	return append(out, data[header:]...)
}

// phys is the body of a pHYs chunk.
func phys(x, y uint32, unit byte) []byte {
	return append(binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, x), y), unit)
}

// withSegment puts a segment after the first marker of a JPEG file.
func withSegment(data []byte, marker byte, body []byte) []byte {
	out := []byte{0xff, 0xd8, 0xff, marker}
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	return append(append(out, body...), data[2:]...)
}

func jfif(unit byte, x, y uint16) []byte {
	out := append([]byte("JFIF\x00\x01\x02"), unit)
	return append(binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(out, x), y), 0, 0)
}

// exif is an EXIF directory with an orientation and a resolution, either way of
// ordering bytes.
func exif(order binary.AppendByteOrder, orientation uint16, x, y [2]uint32, unit uint16) []byte {
	out := []byte("II*\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		out = []byte("MM\x00*")
	}
	out = order.AppendUint32(out, 8)
	out = order.AppendUint16(out, 4)
	entry := func(tag, kind uint16, value uint32) {
		out = order.AppendUint16(order.AppendUint16(out, tag), kind)
		out = order.AppendUint32(out, 1)
		if kind == typeShort {
			out = order.AppendUint16(order.AppendUint16(out, uint16(value)), 0)
		} else {
			out = order.AppendUint32(out, value)
		}
	}
	const after = 8 + 2 + 4*12 + 4
	entry(tagOrientation, typeShort, uint32(orientation))
	entry(tagXResolution, typeRational, after)
	entry(tagYResolution, typeRational, after+8)
	entry(tagUnit, typeShort, uint32(unit))
	out = order.AppendUint32(out, 0)
	for _, v := range [][2]uint32{x, y} {
		out = order.AppendUint32(order.AppendUint32(out, v[0]), v[1])
	}
	return out
}

// fromCamera adds to what exif gives a directory with one tag, as cameras write it.
func fromCamera(order binary.AppendByteOrder, tag uint16) []byte {
	whole := exif(order, 1, [2]uint32{300, 1}, [2]uint32{300, 1}, 2)
	// The unit, which is inches by default, gives its entry to the place of the directory.
	entry := order.AppendUint16(order.AppendUint16(nil, tagExif), typeLong)
	entry = order.AppendUint32(order.AppendUint32(entry, 1), uint32(len(whole)))
	copy(whole[8+2+3*12:], entry)
	whole = order.AppendUint16(order.AppendUint16(order.AppendUint16(whole, 1), tag), typeRational)
	whole = order.AppendUint32(order.AppendUint32(whole, 1), 8)
	return order.AppendUint32(whole, 0)
}

// TestCamerasMakeUpResolutions: the size of a picture that a camera took is doubted, and
// not that of a scan or one that was given.
func TestCamerasMakeUpResolutions(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, c := range []struct {
			tag    uint16
			dpi    float64
			doubts bool
		}{{tagExposureTime, 0, true}, {tagFocalLength, 0, true}, {tagWidth, 0, false}, {tagFNumber, 200, false}} {
			file := withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe1, inApp1(fromCamera(order, c.tag)))
			_, src, err := Decode("photo.jpg", file, Options{DPI: [2]float64{c.dpi, c.dpi}})
			if got := strings.Contains(strings.Join(src.Notes, " "), "cameras make up"); err != nil || got != c.doubts {
				t.Errorf("%v, tag %d: notes %q, %v", order, c.tag, src.Notes, err)
			}
		}
	}
}

func inApp1(body []byte) []byte { return append([]byte("Exif\x00\x00"), body...) }

// Where resolutions are said: pixels a metre in pHYs of PNG (ISO/IEC 15948, 11.3.5.3);
// densities with the unit 1 for inches and 2 for centimetres in JFIF (ITU-T T.871, 10.1);
// XResolution, YResolution and ResolutionUnit, 2 for inches and 3 for centimetres, in
// TIFF 6.0 (1992, section 8) and in Exif (CIPA DC-008); 204 by 98 dots an inch of a fax
// (ITU-T T.4). Section numbers are from memory.
var sizes = []struct {
	name string
	file func(t *testing.T) []byte
	opt  Options
	mm   float64
	dpi  [2]float64
}{
	// 11,811 pixels a metre are 300 an inch (300 / 0.0254).
	{"PNG pHYs", func(t *testing.T) []byte {
		return withChunk(encoded(t, formatPNG, letter(40, 60)), "pHYs", phys(11811, 11811, 1))
	}, Options{}, 1000. / 11811, [2]float64{299.9994, 299.9994}},
	{"JFIF inches", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe0, jfif(1, 200, 200))
	}, Options{}, 25.4 / 200, [2]float64{200, 200}},
	{"JFIF centimetres", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe0, jfif(2, 118, 118))
	}, Options{}, 10. / 118, [2]float64{299.72, 299.72}},
	{"EXIF", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe1, inApp1(exif(binary.LittleEndian, 1, [2]uint32{600, 2}, [2]uint32{3000, 10}, 2)))
	}, Options{}, 25.4 / 300, [2]float64{300, 300}},
	{"EXIF centimetres, other bytes", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe1, inApp1(exif(binary.BigEndian, 1, [2]uint32{120, 1}, [2]uint32{120, 1}, 3)))
	}, Options{}, 10. / 120, [2]float64{304.8, 304.8}},
	{"EXIF in PNG", func(t *testing.T) []byte {
		return withChunk(encoded(t, formatPNG, letter(40, 60)), "eXIf", exif(binary.BigEndian, 1, [2]uint32{240, 1}, [2]uint32{240, 1}, 2))
	}, Options{}, 25.4 / 240, [2]float64{240, 240}},
	{"JFIF 72 beside EXIF 300", func(t *testing.T) []byte {
		f := withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe1, inApp1(exif(binary.LittleEndian, 1, [2]uint32{300, 1}, [2]uint32{300, 1}, 2)))
		return withSegment(f, 0xe0, jfif(1, 72, 72))
	}, Options{}, 25.4 / 300, [2]float64{300, 300}},
	{"said to be otherwise", func(t *testing.T) []byte {
		return withChunk(encoded(t, formatPNG, letter(40, 60)), "pHYs", phys(11811, 11811, 1))
	}, Options{DPI: [2]float64{150, 150}}, 25.4 / 150, [2]float64{150, 150}},
	{"a fax: 204 x 98 an inch", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe0, jfif(1, 204, 98))
	}, Options{}, 25.4 / 204, [2]float64{204, 98}},
	{"turned, 204 x 98", func(t *testing.T) []byte {
		return withSegment(encoded(t, formatJPEG, letter(40, 60)), 0xe1, inApp1(exif(binary.LittleEndian, 6, [2]uint32{204, 1}, [2]uint32{98, 1}, 2)))
	}, Options{}, 25.4 / 204, [2]float64{98, 204}},
	{"1200 an inch is made coarser", func(t *testing.T) []byte {
		return withChunk(encoded(t, formatPNG, letter(240, 300)), "pHYs", phys(47244, 47244, 1))
	}, Options{}, 3000. / 47244, [2]float64{1199.9976, 1199.9976}},
}

// TestSize checks the size of files that state it in each possible way.
func TestSize(t *testing.T) {
	for _, tt := range sizes {
		p, src, err := Decode(tt.name, tt.file(t), tt.opt)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		if math.Abs(p.MM-tt.mm) > 1e-9 {
			t.Errorf("%s: %v mm a pixel, want %v", tt.name, p.MM, tt.mm)
		}
		if math.Abs(src.DPI[0]-tt.dpi[0]) > 1e-3 || math.Abs(src.DPI[1]-tt.dpi[1]) > 1e-3 {
			t.Errorf("%s: %v pixels an inch, want %v", tt.name, src.DPI, tt.dpi)
		}
		// However it is resampled, the page has the size that the picture
		// states.
		w, h := float64(src.W), float64(src.H)
		if src.Orientation >= 5 {
			w, h = h, w
		}
		if gotW, gotH := float64(p.W)*p.MM, float64(p.H)*p.MM; math.Abs(gotW-w*25.4/tt.dpi[0]) > p.MM || math.Abs(gotH-h*25.4/tt.dpi[1]) > p.MM {
			t.Errorf("%s: the page is %.2f x %.2f mm", tt.name, gotW, gotH)
		}
		if len(p.Light) != p.W*p.H {
			t.Errorf("%s: %d x %d pixels, %d values", tt.name, p.W, p.H, len(p.Light))
		}
	}
}

// TestSizeUnknown decodes files that do not say how large the drawing is, and
// checks for a fault that says how to give the size.
func TestSizeUnknown(t *testing.T) {
	img := letter(40, 60)
	for name, file := range map[string][]byte{
		"nothing":         encoded(t, formatPNG, img),
		"screen":          withChunk(encoded(t, formatPNG, img), "pHYs", phys(3780, 3780, 1)), // 96 an inch
		"camera":          withSegment(encoded(t, formatJPEG, img), 0xe1, inApp1(exif(binary.LittleEndian, 1, [2]uint32{72, 1}, [2]uint32{72, 1}, 2))),
		"ratio only":      withChunk(encoded(t, formatPNG, img), "pHYs", phys(2, 1, 0)),
		"no unit":         withSegment(encoded(t, formatJPEG, img), 0xe0, jfif(0, 300, 300)),
		"divided by zero": withSegment(encoded(t, formatJPEG, img), 0xe1, inApp1(exif(binary.LittleEndian, 1, [2]uint32{300, 0}, [2]uint32{300, 0}, 2))),
		"absurd":          withChunk(encoded(t, formatPNG, img), "pHYs", phys(4e9, 4e9, 1)),
		"lopsided":        withSegment(encoded(t, formatJPEG, img), 0xe0, jfif(1, 6000, 100)),
	} {
		_, _, err := Decode(name, file, Options{})
		var f *fault.Error
		if !errors.As(err, &f) || f.Where != name || !strings.Contains(f.Do, "[dpi]") || !strings.Contains(f.Do, "[width]") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestOrientation stores the letter in each of the eight ways of the EXIF
// standard (CIPA DC-008, 4.6.4, table for tag 274: the row and column of the
// stored picture that are the visual top and left, and so on), and checks that
// it comes out upright.
func TestOrientation(t *testing.T) {
	want := lightOf(letter(40, 60))
	// Where in the upright picture (of w x h) stored pixel (0, 0) and the
	// directions of stored columns and rows lie, by the words of the standard:
	// "the 0th row is at the visual top, the 0th column at the visual left".
	for orientation, words := range map[int][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	} {
		w, h := want.w, want.h
		if orientation >= 5 {
			w, h = h, w
		}
		stored := image.NewGray(image.Rect(0, 0, w, h))
		for row := range h {
			for col := range w {
				x, y := 0, 0
				for i, side := range words { // row counts from the first side, col from the second
					n := []int{row, col}[i]
					switch side {
					case "top":
						y = n
					case "bottom":
						y = want.h - 1 - n
					case "left":
						x = n
					case "right":
						x = want.w - 1 - n
					}
				}
				stored.SetGray(col, row, color.Gray{Y: want.pix[y*want.w+x]})
			}
		}
		file := withChunk(encoded(t, formatPNG, stored), "eXIf", exif(binary.LittleEndian, uint16(orientation), [2]uint32{300, 1}, [2]uint32{300, 1}, 2))
		p, src, err := Decode("turned.png", file, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if src.Orientation != orientation || p.W != want.w || p.H != want.h || !bytes.Equal(p.Light, want.pix) {
			t.Errorf("orientation %d: the letter is not upright", orientation)
		}
	}
}

// firstOff returns the first pixel that differs by more than most, -1 for none.
func firstOff(got, want []uint8, most int) int {
	for i, v := range got {
		if d := int(v) - int(want[i]); d > most || d < -most {
			return i
		}
	}
	return -1
}

// TestKindsOfPixels decodes one picture in every form and checks for the same
// light, within the precision of the form.
func TestKindsOfPixels(t *testing.T) {
	src := letter(40, 60)
	want := lightOf(src)
	as := func(dst interface {
		image.Image
		Set(int, int, color.Color)
	}) image.Image {
		for y := range 60 {
			for x := range 40 {
				dst.Set(x, y, src.At(x, y))
			}
		}
		return dst
	}
	r := image.Rect(0, 0, 40, 60)
	ink := image.NewNRGBA(r) // ink on nothing: black, transparent where there is paper
	for i, v := range want.pix {
		ink.Pix[4*i+3] = 255 - v
	}
	ink64 := image.NewNRGBA64(r)
	for i, v := range want.pix {
		ink64.Pix[8*i+6], ink64.Pix[8*i+7] = 255-v, 255-v
	}
	two := image.NewPaletted(r, color.Palette{color.Gray{Y: 20}, color.White})
	forms := map[string]image.Image{
		"grey": as(image.NewGray(r)), "grey 16": as(image.NewGray16(r)), "RGBA": as(image.NewRGBA(r)), "NRGBA": src,
		"NRGBA 16": as(image.NewNRGBA64(r)), "RGBA 16": as(image.NewRGBA64(r)), "two colours": as(two), "ink on nothing": ink, "ink on nothing, 16": ink64,
	}
	for name, img := range forms {
		for _, format := range []string{formatPNG, formatJPEG, formatTIFF} {
			if format == formatJPEG && strings.Contains(name, "nothing") {
				continue // which has no transparency
			}
			p, _, err := Decode(name, encoded(t, format, img), Options{DPI: [2]float64{300, 300}})
			if err != nil {
				t.Errorf("%s as %s: %v", name, format, err)
				continue
			}
			most := 1
			if format == formatJPEG {
				most = 12
			}
			if i := firstOff(p.Light, want.pix, most); i >= 0 {
				t.Errorf("%s as %s: pixel %d is %d, want %d", name, format, i, p.Light[i], want.pix[i])
			}
		}
	}
	cmyk := image.NewCMYK(r)
	for i, v := range want.pix {
		cmyk.Pix[4*i+3] = 255 - v
	}
	if got := lightOf(cmyk); !bytes.Equal(got.pix, want.pix) {
		t.Error("four inks give another light")
	}
}

// TestColouredPencil draws with coloured pencils on white and on cream paper:
// each must be at least a third dark, and the paper nearly white. The colours
// are of pencil at half cover, from memory.
func TestColouredPencil(t *testing.T) {
	pencils := map[string][3]float64{
		"yellow": {0.98, 0.90, 0.45}, "orange": {0.98, 0.70, 0.40}, "red": {0.90, 0.40, 0.40}, "pink": {0.98, 0.65, 0.75},
		"sky blue": {0.55, 0.80, 0.95}, "green": {0.50, 0.80, 0.50}, "violet": {0.65, 0.50, 0.80}, "graphite": {0.6, 0.6, 0.6},
	}
	for paper, p := range map[string][3]float64{"white": {1, 1, 1}, "cream": {1, 0.96, 0.84}, "lamplight": {1, 0.85, 0.6}} {
		for name, c := range pencils {
			img := image.NewNRGBA(image.Rect(0, 0, 50, 50))
			for i := range 50 * 50 {
				k := [3]float64{1, 1, 1}
				if x := i % 50; x >= 20 && x < 24 {
					k = c
				}
				for ch := range 3 {
					img.Pix[4*i+ch] = uint8(245*p[ch]*k[ch] + 0.5)
				}
				img.Pix[4*i+3] = 255
			}
			g := lightOf(img)
			line, ground := float64(g.pix[21]), float64(g.pix[5])
			if ground < 240 || line > 0.66*ground {
				t.Errorf("%s on %s paper: %v on %v", name, paper, line, ground)
			}
		}
	}
}

// TestWidthOfDrawing takes the size from the width of the drawing, with specks
// and the shadow of the sheet's edge beside it.
func TestWidthOfDrawing(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 900, 700))
	for i := range img.Pix {
		img.Pix[i] = 235
	}
	fill := func(x0, y0, x1, y1 int, v uint8) {
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				img.SetGray(x, y, color.Gray{Y: v})
			}
		}
	}
	fill(150, 100, 155, 600, 120) // a tall box, 5 pixels to the line
	fill(745, 100, 750, 600, 120)
	fill(150, 100, 750, 105, 120)
	fill(150, 595, 750, 600, 120)
	fill(0, 0, 4, 700, 90) // the edge of the glass
	fill(60, 300, 66, 306, 60)
	fill(850, 50, 853, 60, 60)
	p, src, err := Decode("box.png", encoded(t, formatPNG, img), Options{WidthMM: 300})
	if err != nil {
		t.Fatal(err)
	}
	if want := 300. / 600; math.Abs(p.MM/want-1) > 0.01 || src.SizeFrom != "the width of the drawing" {
		t.Errorf("%v mm a pixel, want %v; from %s", p.MM, want, src.SizeFrom)
	}
	for i := range img.Pix {
		img.Pix[i] = 200
	}
	if _, _, err := Decode("blank.png", encoded(t, formatPNG, img), Options{WidthMM: 300}); err == nil {
		t.Error("a blank sheet has a width")
	}
}

// TestBadFiles decodes files that are not pictures of drawings.
func TestBadFiles(t *testing.T) {
	whole := map[string][]byte{}
	for _, format := range []string{formatPNG, formatJPEG, formatTIFF} {
		whole[format] = encoded(t, format, letter(40, 60))
	}
	type bad struct{ file, says string }
	var list []bad
	add := func(file []byte, says string) { list = append(list, bad{string(file), says}) }
	add(nil, "empty")
	add([]byte("Dear Morag"), "no picture")
	add([]byte("GIF89a...."), "GIF")
	add([]byte("%PDF-1.7"), "PDF")
	add([]byte("\x00\x00\x00\x18ftypheic\x00\x00"), "HEIC")
	add([]byte("RIFF....WEBPVP8 "), "WebP")
	add([]byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`), "a drawing already")
	add([]byte("\x89PNG\r\n\x1a\n"), "cut off")
	add([]byte("\xff\xd8"), "cut off")
	add([]byte("II*\x00"), "cut off")
	for _, format := range []string{formatPNG, formatJPEG, formatTIFF} {
		f := whole[format]
		says := "cut off"
		if format == formatTIFF {
			says = "" // its directory is at the end, with nothing after it
		}
		for _, n := range []int{len(f) / 4, len(f) / 2, len(f) - 30} {
			add(f[:n], says)
		}
	}
	add(encoded(t, formatPNG, image.NewGray(image.Rect(0, 0, 1, 1))), "too small")
	add(encoded(t, formatPNG, image.NewGray(image.Rect(0, 0, 1, 60000))), "too small")
	add(declared(t, 60000, 60000), "more than is read")
	add(declared(t, 12000, 12000), "cut off") // 144 million pixels in 70 bytes
	add(declared(t, 0, 100), "")
	damaged := append([]byte{}, whole[formatPNG]...)
	damaged[len(damaged)/2] ^= 0x55
	add(damaged, "damaged")
	for i, b := range list {
		p, _, err := Decode("picture", []byte(b.file), Options{DPI: [2]float64{300, 300}})
		var f *fault.Error
		if !errors.As(err, &f) || f.Where != "picture" || f.Do == "" {
			t.Errorf("file %d (%.20q): page of %d x %d, error %v", i, b.file, p.W, p.H, err)
			continue
		}
		if !strings.Contains(f.What, b.says) {
			t.Errorf("file %d (%.20q): %s, want %q", i, b.file, f.What, b.says)
		}
	}
}

// declared is a PNG file whose header says it is w x h pixels and that ends soon
// after.
func declared(t testing.TB, w, h uint32) []byte {
	t.Helper()
	f := encoded(t, formatPNG, image.NewGray(image.Rect(0, 0, 20, 20)))
	f = append([]byte{}, f...)
	binary.BigEndian.PutUint32(f[16:], w)
	binary.BigEndian.PutUint32(f[20:], h)
	binary.BigEndian.PutUint32(f[29:], crc32.ChecksumIEEE(f[12:29]))
	return f
}

func TestBadOptions(t *testing.T) {
	file := encoded(t, formatPNG, letter(40, 60))
	for name, opt := range map[string]Options{
		"dpi":         {DPI: [2]float64{3, 3}},
		"dpi NaN":     {DPI: [2]float64{math.NaN(), 300}},
		"width":       {WidthMM: -4},
		"width NaN":   {WidthMM: math.NaN()},
		"corners":     {DPI: [2]float64{300, 300}, Corners: make([]paths.Point, 4)},
		"sheet":       {Sheet: Sheet{1, 2}},
		"sheet NaN":   {Sheet: Sheet{math.NaN(), 200}},
		"two corners": {Sheet: Sheet{210, 297}, Corners: make([]paths.Point, 2)},
	} {
		if p, _, err := Decode("f", file, opt); err == nil {
			t.Errorf("%s: no error, %d x %d", name, p.W, p.H)
		}
	}
}

func ExampleParseSheet() {
	s, err := ParseSheet("a4")
	fmt.Println(s, err)
	// Output: a4, 210 x 297 mm <nil>
}
