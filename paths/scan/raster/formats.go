package raster

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/codec"
	"weftplot/paths/scan/pdf"
)

const formatPDF = "PDF"

// IsPicture reports whether data begin as a file that Decode reads, or as a photo or
// film that it refuses with advice.
func IsPicture(data []byte) bool {
	for _, head := range []string{"\x89PNG\r\n", "\xff\xd8", "II*\x00", "MM\x00*"} {
		if bytes.HasPrefix(data, []byte(head)) {
			return true
		}
	}
	return codec.Is(data) || pdf.IsPDF(data) || len(data) > 12 && string(data[4:8]) == "ftyp"
}

// noPage is the fault of a page that a file has not.
func noPage(name string, page, pages int) error {
	if pages == 1 {
		return fault.Bad(name, "leave [page] out", "there is no page %d: the file has one", page)
	}
	return fault.Bad(name, "choose one of them with [page]", "there is no page %d: the file has %d", page, pages)
}

// openOther opens a file of a format that package codec reads; the header's format
// stays empty where there is none.
func (h *header) openOther(name string, page int) error {
	p, err := codec.Open(h.data, page)
	switch {
	case errors.Is(err, codec.ErrNoPage):
		return fault.Bad(name, "choose another with [page]", "there is no page %d in the file", page)
	case err != nil:
		return broken(name, p.Format, err)
	case p == nil:
		return nil
	}
	h.format, h.w, h.h, h.pages, h.decode = p.Format, p.W, p.H, p.Pages, p.Decode
	t := tags{}
	if e, ok := exifTags(p.Exif); ok {
		t = e
	}
	if p.PerInch[0] > 0 && p.PerInch[1] > 0 {
		t.setDensity(p.PerInch[0], p.PerInch[1], 1, map[int]float64{1: 1})
	}
	h.take(t)
	return h.checkSize(name, p.PerPixel)
}

// openPDF opens a page of a PDF: the picture that fills most of it, or, where none
// does, its lines.
func (h *header) openPDF(name string, page int) error {
	h.format = formatPDF
	f, err := pdf.Open(h.data)
	if err != nil {
		return broken(name, h.format, err)
	}
	h.pages = f.Pages()
	if page > h.pages {
		return noPage(name, page, h.pages)
	}
	p, err := f.Page(page)
	if err != nil {
		var bad *fault.Error
		if errors.As(err, &bad) {
			return fault.At(name, err)
		}
		return broken(name, h.format, err)
	}
	best := largest(p)
	if best >= 0 {
		if m, ok := mosaicOf(p, pictureArea(p.Pictures[best])); ok && m.area >= leastPicture*p.W*p.H {
			return m.open(h, name, len(p.Pictures)-len(m.pieces))
		}
	}
	if best < 0 || pictureArea(p.Pictures[best]) < leastPicture*p.W*p.H && len(p.Lines) > 0 {
		if len(p.Lines) == 0 {
			return fault.Bad(name, "choose another with [page]", "page %d of %d holds neither a picture nor lines", page, h.pages)
		}
		h.notes = p.Notes
		if n := len(p.Pictures); n > 0 {
			h.notes = append(h.notes, fmt.Sprintf("%d pictures on the page were left out: its lines were read.", n))
		}
		h.drawn = &drawnPage{p}
		return nil
	}
	return h.openPlaced(name, p, best)
}

// leastPicture is the share of a page that a picture must cover to be what the page
// is about, where the page holds lines too.
const leastPicture = 0.2

// largest is the picture that covers most of a page, -1 where there is none.
func largest(p pdf.Page) int {
	best := -1
	for i, c := range p.Pictures {
		if c.W > 0 && (best < 0 || pictureArea(c) > pictureArea(p.Pictures[best])) {
			best = i
		}
	}
	return best
}

func pictureArea(c pdf.Picture) float64 { return math.Abs(c.Place.Det()) }

// openPlaced opens a picture that lies on a page: its resolution and the way it is
// turned come from its place.
func (h *header) openPlaced(name string, p pdf.Page, best int) error {
	c := p.Pictures[best]
	h.w, h.h, h.decode = c.W, c.H, c.Decode
	if n := len(p.Pictures) - 1; n > 0 {
		h.notes = append(h.notes, fmt.Sprintf("%d smaller pictures on the page were left out.", n))
	}
	if n := len(p.Lines); n > 0 {
		h.notes = append(h.notes, fmt.Sprintf("%d lines that the page draws over its picture were left out.", n))
	}
	m := c.Place
	across, down := paths.Point{X: m.A, Y: m.B}, paths.Point{X: -m.C, Y: -m.D} // of the stored picture, on the page
	w, d := math.Hypot(across.X, across.Y), math.Hypot(down.X, down.Y)
	if !(w > 1e-6 && d > 1e-6) {
		return fault.Bad(name, "save the page as a picture", "the picture on the page has no size")
	}
	t := tags{orientation: turned(across, down)}
	t.setDensity(float64(c.W)/w, float64(c.H)/d, 1, map[int]float64{1: paths.MMPerInch})
	h.take(t)
	return h.checkSize(name, c.PerPixel)
}

// turned returns the EXIF orientation of a picture whose rows run across and whose
// columns run down these ways on the page, y up. A picture that lies aslant is
// taken as it lies most nearly.
func turned(across, down paths.Point) int {
	level := math.Abs(across.X) >= math.Abs(across.Y)
	switch {
	case level && across.X >= 0 && down.Y <= 0:
		return 1
	case level && down.Y <= 0:
		return 2
	case level && across.X < 0:
		return 3
	case level:
		return 4
	case across.Y < 0 && down.X >= 0:
		return 5
	case across.Y < 0:
		return 6
	case down.X < 0:
		return 7
	}
	return 8
}

// drawnPage is a page of lines.
type drawnPage struct{ pdf.Page }

// drawnPixel is the pixel of the white page that lies under lines which need none,
// mm.
const drawnPixel = 0.5

// page returns the white page, and its lines in src.
func (d *drawnPage) page(name string, opt Options, src *Source) (Page, error) {
	if opt.DPI[0] > 0 || opt.Sheet != (Sheet{}) {
		return Page{}, fault.Bad(name, "leave it out, or give [width]", "the page holds lines of a known size, not a picture")
	}
	if opt.Tints {
		return Page{}, fault.Bad(name, "leave [layers-by] out", "the page holds lines, not a picture of them, and their colours are not read")
	}
	k := 1.0
	src.SizeFrom = fmt.Sprintf("the file: its page is %.4g x %.4g mm", d.W, d.H)
	var widths []float64
	for _, l := range d.Lines {
		src.Lines = append(src.Lines, l.Stroke)
		if !l.Filled {
			widths = append(widths, l.Width)
		}
	}
	if opt.WidthMM > 0 {
		w := paths.BoundsOf(src.Lines).Width()
		if !(w > 0.01) {
			return Page{}, fault.Bad(name, "leave [width] out", "the lines on the page have no width")
		}
		k = opt.WidthMM / w
		src.SizeFrom = "the width of the drawing"
		for i, s := range src.Lines {
			src.Lines[i] = s.Transform(paths.Scale(k, k))
		}
	}
	if len(widths) > 0 {
		slices.Sort(widths)
		src.LinesMM = widths[len(widths)/2] * k
	}
	p := Page{W: int(math.Ceil(d.W * k / drawnPixel))}
	p.MM = d.W * k / float64(p.W)
	p.H = max(1, int(math.Round(d.H*k/p.MM)))
	if float64(p.W)*float64(p.H) > maxPage {
		return Page{}, fault.Bad(name, "check the width", "the page would be %.4g x %.4g mm", d.W*k, d.H*k)
	}
	p.Light = make([]uint8, p.W*p.H)
	for i := range p.Light {
		p.Light[i] = 255
	}
	return p, nil
}

// openTIFF reads the tags of one page of a TIFF file, and gives the decoder a file
// that begins with it. JPEG pieces, which the decoder does not read, are put
// together by package codec.
func (h *header) openTIFF(name string, page int, t *tags) (err error) {
	if h.pages, h.data = tiffPages(h.data, page); page > h.pages && h.pages > 0 {
		return noPage(name, page, h.pages)
	}
	h.pages = max(1, h.pages)
	if h.data, *t, err = tiffTags(name, h.data); err != nil {
		return err
	}
	d, _ := readDirectory(h.data)
	if packing, _ := d.number(tagCompression, 0); packing != jpegPacking {
		return nil
	}
	pieces, ok := d.jpegPieces()
	if !ok {
		return fault.Bad(name, "save the picture as PNG", "its parts do not fit together")
	}
	h.w, h.h = pieces.W, pieces.H
	h.decode = func() (image.Image, error) { return pieces.Decode() }
	return nil
}
