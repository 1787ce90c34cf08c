package raster

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/tiff"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/codec"
	"weftplot/paths/scan/pdf"
)

// Options say what a person knows about a picture. The zero value takes the
// size of the drawing from the file.
type Options struct {
	// DPI are the pixels an inch, across and down the upright picture; 0 uses
	// what the file says.
	DPI [2]float64
	// WidthMM is the width of the drawing from its leftmost to its rightmost
	// mark; it takes precedence over DPI. 0 means that it is not known.
	WidthMM float64
	// Sheet is the size of the sheet in a photo, either way round; the zero
	// Sheet means that the picture is a scan.
	Sheet Sheet
	// Corners are the corners of the sheet in any order, in pixels of the
	// upright photo from its upper left corner, y down. Without any they are
	// looked for.
	Corners []paths.Point
	// Ink is the ink that is the drawing; the zero Ink is all that is on the paper.
	Ink Ink
	// Tints asks for the colours of the page, to tell inks by.
	Tints bool
	// Page is the page that is read of a file that has several, counted from 1; 0 is
	// the first.
	Page int
}

// Source says what a picture file held and how its size came to be known.
type Source struct {
	// Format is "PNG", "JPEG", "TIFF", "PDF", "WebP", "GIF" or "BMP".
	Format string
	// Page is the page that was read, and Pages how many the file has.
	Page, Pages int
	// Lines are those of a page of a PDF that holds lines and no picture, in mm; the
	// page's light is then white. LinesMM is the width that most of them are drawn
	// with.
	Lines   []paths.Stroke
	LinesMM float64
	// W and H are the pixels as stored.
	W, H int
	// Orientation is the value of the EXIF tag, 1 to 8: how the stored picture
	// was turned to make it upright.
	Orientation int
	// DPI are the pixels an inch across and down that were used, 0 where the
	// size came from elsewhere.
	DPI [2]float64
	// SizeFrom completes "the size is from ...".
	SizeFrom string
	// Sheet is the sheet found in a photo, nil for a scan.
	Sheet *FoundSheet
	// Notes are sentences about what a person may want to check.
	Notes []string
}

// Bounds on pictures. A sheet of A3 at 600 pixels an inch has 70 million pixels.
const (
	maxPixels  = 150_000_000
	maxDecoded = 400_000_000 // bytes that the decoder may use for the picture
	minSide    = 16          // pixels; anything smaller cannot be a drawing
)

// Decode reads a picture of a drawing from a file and returns it as a page: turned upright, grey, with square pixels of known size, and,
// for a photo of a sheet, flat. Pages finer than is useful are made coarser.
//
// The size of the picture is checked before any pixel is read. The error is a
// [*fault.Error] that names the file.
func Decode(name string, data []byte, opt Options) (Page, Source, error) {
	if err := opt.check(); err != nil {
		return Page{}, Source{}, err
	}
	h, err := readHeader(name, data, max(1, opt.Page))
	if err != nil {
		return Page{}, Source{}, err
	}
	src := Source{Format: h.format, W: h.w, H: h.h, Orientation: h.orientation, Notes: h.notes, Page: max(1, opt.Page), Pages: h.pages}
	if h.pages > 1 && opt.Page == 0 {
		src.Notes = append(src.Notes, fmt.Sprintf("The file has %d pages, and this is the first: choose another with [page].", h.pages))
	}
	if h.drawn != nil {
		p, err := h.drawn.page(name, opt, &src)
		return p, src, err
	}
	p, err := readPage(name, h, opt, &src)
	return p, src, err
}

// readPage reads a page that is held as pixels.
func readPage(name string, h header, opt Options, src *Source) (Page, error) {
	if opt.Sheet == (Sheet{}) && opt.WidthMM == 0 {
		// Report this before the pixels are read, which may take a while.
		if _, err := h.resolution(name, opt); err != nil {
			return Page{}, err
		}
	}
	img, err := decodePixels(name, h)
	if err != nil {
		return Page{}, err
	}
	if !h.isWhole() {
		src.Notes = append(src.Notes, "The file is cut off before its end: parts of the picture may be missing or coarse.")
	}
	light, err := opt.Ink.only(img, h.orientation)
	if err != nil {
		return Page{}, err
	}
	g := upright(light, h.orientation)
	p, onto, err := toPage(name, g, h, opt, src)
	if err == nil && opt.Tints {
		err = p.tinted(img, h.orientation, onto)
	}
	return p, err
}

// check refuses options that make no sense.
func (o Options) check() error {
	for _, d := range o.DPI {
		if d != 0 && !(d >= 30 && d <= 10000) {
			return fault.Bad("dpi", "give between 30 and 10,000 pixels an inch", "%g pixels an inch are not possible", d)
		}
	}
	if o.WidthMM != 0 && !(o.WidthMM >= 1 && o.WidthMM <= 20000) {
		return fault.Bad("width", "give the width of the drawing on the paper", "a drawing %g mm wide is not possible", o.WidthMM)
	}
	if o.Page < 0 {
		return fault.Bad("page", "count them from 1", "there is no page %d", o.Page)
	}
	if len(o.Corners) > 0 && o.Sheet == (Sheet{}) {
		return fault.Bad("corners", "give the size of the sheet as well, such as a4", "the corners tell nothing without the size between them")
	}
	return o.Sheet.check()
}

// toPage gives a grey picture its size in mm. onto maps places of the page, in its
// pixels, to the picture.
func toPage(name string, g grey, h header, opt Options, src *Source) (p Page, onto func(paths.Point) paths.Point, err error) {
	if opt.Sheet != (Sheet{}) {
		p, onto, found, err := flatten(name, g, opt.Sheet, opt.Corners)
		if err != nil {
			return Page{}, nil, err
		}
		src.Sheet = &found
		src.SizeFrom = "the sheet, " + found.Sheet.String()
		src.Notes = append(src.Notes, found.notes()...)
		return p, onto, nil
	}
	p, err = toScan(name, g, h, opt, src)
	return p, p.whole(g.w, g.h), err
}

// toScan gives a picture that shows the paper square on its size in mm.
func toScan(name string, g grey, h header, opt Options, src *Source) (p Page, err error) {
	if opt.WidthMM > 0 {
		x, y := h.aspect()
		if g, err = squared(name, g, x, y); err != nil {
			return Page{}, err
		}
		left, right, ok := inkExtent(g)
		if !ok {
			return Page{}, fault.Bad(name, "check that the picture shows the drawing, dark on light", "no marks are to be seen that could be as wide as the drawing")
		}
		src.SizeFrom = "the width of the drawing"
		return coarser(name, g, opt.WidthMM/(right-left), src)
	}
	d, err := h.resolution(name, opt)
	if err != nil {
		return Page{}, err
	}
	src.DPI = d
	src.SizeFrom = fmt.Sprintf("the file: %s pixels an inch", dpiWords(d))
	if h.camera && opt.DPI[0] == 0 {
		src.Notes = append(src.Notes, "A camera took this picture, and cameras make up the pixels an inch, so the size is in doubt: give the [width] of the drawing, or for a sheet on a darker table its size with [paper].")
	}
	if doubt := madeUp(float64(g.w)*paths.MMPerInch/d[0], float64(g.h)*paths.MMPerInch/d[1], d[0]); doubt != "" && !h.camera && opt.DPI[0] == 0 {
		src.Notes = append(src.Notes, doubt)
	}
	if opt.DPI[0] > 0 {
		src.SizeFrom = fmt.Sprintf("%s pixels an inch, as asked", dpiWords(d))
	}
	if g, err = squared(name, g, d[0], d[1]); err != nil {
		return Page{}, err
	}
	return coarser(name, g, paths.MMPerInch/max(d[0], d[1]), src)
}

func dpiWords(d [2]float64) string {
	if d[0] == d[1] {
		return fmt.Sprintf("%.4g", d[0])
	}
	return fmt.Sprintf("%.4g x %.4g", d[0], d[1])
}

// decodePixels decodes the picture, whose header was checked. A decoder that
// panics is reported as a broken file.
func decodePixels(name string, h header) (img image.Image, err error) {
	defer func() {
		if p := recover(); p != nil {
			img, err = nil, broken(name, h.format, fmt.Errorf("%v", p))
		}
	}()
	r := bytes.NewReader(h.data)
	switch {
	case h.decode != nil:
		img, err = h.decode()
	case h.format == formatPNG:
		img, err = png.Decode(r)
	case h.format == formatJPEG:
		img, err = jpeg.Decode(r)
	default:
		img, err = tiff.Decode(r)
	}
	if err != nil {
		if !h.isWhole() {
			err = io.ErrUnexpectedEOF
		}
		return nil, broken(name, h.format, err)
	}
	if b := img.Bounds(); b.Dx() != h.w || b.Dy() != h.h {
		return nil, broken(name, h.format, fmt.Errorf("it holds %d x %d pixels and says %d x %d", b.Dx(), b.Dy(), h.w, h.h))
	}
	return img, nil
}

// broken returns the error of a file that its decoder could not read.
func broken(name, format string, err error) error {
	const do = "scan or save the picture again"
	var f *fault.Error
	var unsupported tiff.UnsupportedError
	switch {
	case errors.Is(err, codec.ErrMoving):
		f = fault.Bad(name, "save one of its pictures as PNG", "this is a moving picture")
	case errors.Is(err, pdf.ErrLocked):
		f = fault.Bad(name, "open it with its password and print or save it as a new PDF without", "%v", pdf.ErrLocked)
	case errors.Is(err, pdf.ErrJPX), errors.Is(err, pdf.ErrJBIG2):
		f = fault.Bad(name, "set the scanner to JPEG, or save the page as PNG", "%v", err)
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		f = fault.Bad(name, do, "the %s file is cut off: it ends before the picture does", format)
	case errors.As(err, &unsupported):
		f = fault.Bad(name, "save the picture as PNG", "this kind of TIFF is not read: %s", string(unsupported))
	default:
		f = fault.Bad(name, do, "the %s file is damaged: %v", format, err)
	}
	f.Err = err
	return f
}

// Pages are traced with pixels of these sizes, in mm: at 450 an inch there are
// five across the finest pencil line, and finer ones add nothing; coarser than
// 140 an inch shows too little of a line.
const (
	finest   = paths.MMPerInch / 450
	coarsest = paths.MMPerInch / 140
)

// maxPage is the greatest number of pixels of a page: a sheet of A2 at 300 an
// inch has 35 million.
const maxPage = 40_000_000

// coarser returns a picture whose pixels are mm wide as a page, with groups of
// pixels averaged into one where they are finer than is useful, or more than
// can be traced.
func coarser(name string, g grey, mm float64, src *Source) (Page, error) {
	k := 1
	for mm*float64(k) < finest*0.999 && mm*float64(k+1) <= paths.MMPerInch/290 {
		k++
	}
	for ; len(g.pix)/k/k > maxPage; k++ {
		if mm*float64(k+1) > coarsest {
			return Page{}, fault.Bad(name, "scan it at a lower resolution, or in parts",
				"the sheet is %.0f x %.0f mm, too large to be traced at once", float64(g.w)*mm, float64(g.h)*mm)
		}
	}
	if k > 1 {
		src.Notes = append(src.Notes, fmt.Sprintf("Each %d x %d pixels were taken together: the lines were looked for at %.0f pixels an inch.",
			k, k, paths.MMPerInch/mm/float64(k)))
	}
	g = reduced(g, k)
	return Page{W: g.w, H: g.h, Light: g.pix, MM: mm * float64(k)}, nil
}
