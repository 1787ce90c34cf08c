package raster

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"strings"

	"golang.org/x/image/tiff"

	"weftplot/paths/fault"
	"weftplot/paths/scan/pdf"
)

const (
	formatPNG  = "PNG"
	formatJPEG = "JPEG"
	formatTIFF = "TIFF"
)

// header is what a file says of its picture before any pixel is read.
type header struct {
	format      string
	data        []byte // the file, corrected where the decoder needs it
	w, h        int    // as stored
	orientation int    // EXIF, 1 to 8
	// perInch are the pixels an inch across and down as stored, and ratio two
	// numbers in their proportion; zero where the file does not say.
	perInch, ratio [2]float64
	camera         bool // the picture was taken by one
	notes          []string
	pages          int // pictures or pages that the file holds
	// decode reads the pixels; nil leaves it to the decoder of the format.
	decode func() (image.Image, error)
	drawn  *drawnPage // a page of lines, which has no pixels
}

// tags are the few facts of a file's header that the decoders drop.
type tags struct {
	orientation    int
	perInch, ratio [2]float64
	camera         bool
}

// readHeader finds the format of a file and checks what it declares of one of its
// pages, counted from 1.
func readHeader(name string, data []byte, page int) (header, error) {
	h := header{data: data, orientation: 1, pages: 1}
	var conf image.Config
	var t tags
	var err error
	perPixel := 0.0 // bytes
	switch {
	case len(data) == 0:
		return h, fault.Bad(name, "give a scan or a photo", "the file is empty")
	case bytes.HasPrefix(data, []byte("\x89PNG\r\n\x1a\n")):
		h.format = formatPNG
		conf, err = png.DecodeConfig(bytes.NewReader(data))
		t = pngTags(data)
	case bytes.HasPrefix(data, []byte("\xff\xd8")):
		h.format = formatJPEG
		conf, err = jpeg.DecodeConfig(bytes.NewReader(data))
		t, perPixel = jpegTags(data)
	case bytes.HasPrefix(data, []byte("II*\x00")), bytes.HasPrefix(data, []byte("MM\x00*")):
		h.format = formatTIFF
		if err = h.openTIFF(name, page, &t); err != nil {
			return h, err
		}
		conf, err = tiff.DecodeConfig(bytes.NewReader(h.data))
		if h.decode != nil {
			conf, err = image.Config{Width: h.w, Height: h.h, ColorModel: color.NRGBAModel}, nil
		}
	case pdf.IsPDF(data):
		return h, h.openPDF(name, page)
	default:
		if err := h.openOther(name, page); err != nil || h.format != "" {
			return h, err
		}
		return h, otherFormat(name, data)
	}
	if page > h.pages {
		return h, noPage(name, page, h.pages)
	}
	if err != nil {
		return h, broken(name, h.format, err)
	}
	h.w, h.h = conf.Width, conf.Height
	h.take(t)
	if perPixel == 0 {
		perPixel = bytesPerPixel(conf.ColorModel)
	}
	return h, h.checkSize(name, perPixel)
}

// take keeps what the tags of a file say.
func (h *header) take(t tags) {
	if t.orientation >= 1 && t.orientation <= 8 {
		h.orientation = t.orientation
	}
	h.perInch, h.ratio, h.camera = t.perInch, t.ratio, t.camera
	if h.orientation >= 5 {
		h.perInch[0], h.perInch[1] = h.perInch[1], h.perInch[0]
		h.ratio[0], h.ratio[1] = h.ratio[1], h.ratio[0]
	}
}

// checkSize refuses a picture that is too small to be a drawing, too large for
// memory, or larger than its file can hold.
func (h header) checkSize(name string, perPixel float64) error {
	if h.w < minSide || h.h < minSide {
		return fault.Bad(name, "give a scan or a photo of a drawing", "the picture is %d x %d pixels: too small for a drawing", h.w, h.h)
	}
	pixels := float64(h.w) * float64(h.h)
	if pixels > maxPixels || pixels*perPixel > maxDecoded {
		return fault.Bad(name, "scan at 300 pixels an inch, in 8-bit grey",
			"the picture says it is %d x %d pixels, %.0f million in all: more than is read", h.w, h.h, pixels/1e6)
	}
	// Deflate packs at most 1032 bytes into one (RFC 1951: a match of 258 bytes
	// in two bits).
	if h.format == formatPNG && pixels/8 > 1032*float64(len(h.data)) {
		return broken(name, h.format, io.ErrUnexpectedEOF)
	}
	return nil
}

// bytesPerPixel returns what a decoded pixel takes.
func bytesPerPixel(m color.Model) float64 {
	switch m {
	case color.GrayModel:
		return 1
	case color.Gray16Model:
		return 2
	case color.NRGBA64Model, color.RGBA64Model:
		return 8
	}
	if _, ok := m.(color.Palette); ok {
		return 1
	}
	return 4
}

// resolution returns the pixels an inch across and down the upright picture.
func (h header) resolution(name string, opt Options) ([2]float64, error) {
	if opt.DPI[0] > 0 {
		return opt.DPI, nil
	}
	const do = "give the pixels an inch with [dpi], or the width of the drawing on the paper with [width]; for a photo, the sheet with [paper]"
	d := h.perInch
	switch {
	case d[0] == 0 || d[1] == 0:
		return d, fault.Bad(name, do, "the file does not say how large the drawing is")
	case max(d[0], d[1]) < leastBelieved:
		return d, fault.Bad(name, do,
			"the file says %s pixels an inch, which cameras and programs write when they do not know", dpiWords(d))
	case max(d[0], d[1]) > 10000 || max(d[0], d[1]) > lopsided*min(d[0], d[1]):
		return d, fault.Bad(name, do, "the file says %s pixels an inch, which cannot be", dpiWords(d))
	}
	return d, nil
}

// lopsided is the greatest plausible factor between the resolutions across and
// down: twice that of faxes (ITU-T T.4: 204 x 98 to 204 x 391 an inch).
const lopsided = 4.2

// leastBelieved is the least resolution that is taken from a file, in pixels an
// inch. The EXIF standard lets cameras write 72 when they do not know, and 96
// is the nominal resolution of screens; a drawing scanned at less than a
// hundred is not worth tracing.
const leastBelieved = 100

// aspect returns two numbers in the proportion of the pixels an inch across and
// down.
func (h header) aspect() (x, y float64) {
	for _, r := range [][2]float64{h.perInch, h.ratio} {
		if r[0] > 0 && r[1] > 0 && max(r[0], r[1]) <= lopsided*min(r[0], r[1]) {
			return r[0], r[1]
		}
	}
	return 1, 1
}

// otherFormat returns the fault for a file of a format that is not read.
func otherFormat(name string, data []byte) error {
	head := data[:min(len(data), 64)]
	what := "this is no picture that can be read"
	switch {
	case len(head) > 12 && string(head[4:8]) == "ftyp":
		return boxedFormat(name, head)
	case bytes.HasPrefix(head, []byte("II+\x00")), bytes.HasPrefix(head, []byte("MM\x00+")):
		what = "this is a TIFF of the large kind"
	case strings.Contains(string(head), "<svg"), strings.Contains(string(head), "<?xml"):
		return fault.Bad(name, "give it to check or prepare as it is", "this is a drawing already, not a picture of one")
	}
	return fault.Bad(name, "save it as PNG, JPEG, TIFF or PDF", "%s", what)
}

// boxedFormat returns the fault for a file of boxes (ISO/IEC 14496-12): HEIC and
// AVIF photos, and films.
func boxedFormat(name string, head []byte) error {
	switch string(head[8:12]) {
	case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1":
		return fault.Bad(name, "set the phone's camera to save JPEG, in its settings under formats, and take it again; or open the photo on a computer and save it as JPEG or PNG",
			"this is a photo in the HEIC format, which is not read")
	case "avif", "avis":
		return fault.Bad(name, "open it in a browser or a picture viewer and save it as PNG or JPEG", "this is a picture in the AVIF format, which is not read")
	}
	return fault.Bad(name, "give a photo or a scan of the drawing", "this is a film")
}

// isWhole reports whether the file has the end mark of its format; TIFF has
// none.
func (h header) isWhole() bool {
	tail := h.data[max(0, len(h.data)-1<<10):]
	switch h.format {
	case formatPNG:
		return bytes.Contains(tail, []byte("IEND"))
	case formatJPEG:
		return bytes.Contains(tail, []byte{0xff, 0xd9})
	}
	return true
}
