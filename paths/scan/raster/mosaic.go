package raster

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/pdf"
)

// mosaic is a picture that a scanner cut into strips or tiles: upright pictures of
// one resolution that lie side by side on a page.
type mosaic struct {
	pieces       []pdf.Picture
	box          paths.Rect // on the page, mm
	across, down float64    // pixels a mm
	w, h         int
	area         float64 // of the pieces, mm²
}

// mosaicOf puts the upright pictures of a page together that have the resolution of
// the first, and returns false where this makes no picture much larger than the
// largest of them.
func mosaicOf(p pdf.Page, most float64) (m mosaic, ok bool) {
	m.box = paths.EmptyRect()
	for _, c := range p.Pictures {
		if !m.fits(c) {
			continue
		}
		q := c.Place
		m.pieces = append(m.pieces, c)
		m.area += pictureArea(c)
		m.box = m.box.Union(paths.RectOf(paths.Point{X: q.E, Y: q.F}, paths.Point{X: q.E + q.A, Y: q.F + q.D}))
	}
	if len(m.pieces) < 2 || m.area < 1.25*most {
		return m, false
	}
	if covered := m.area / (m.box.Width() * m.box.Height()); covered < 0.9 || covered > 1.1 {
		return m, false
	}
	m.w, m.h = int(math.Round(m.box.Width()*m.across)), int(math.Round(m.box.Height()*m.down))
	return m, m.w > 0 && m.h > 0 && m.w < 1e6 && m.h < 1e6
}

// fits reports whether a picture is upright and has the resolution of the first,
// which it may be itself.
func (m *mosaic) fits(c pdf.Picture) bool {
	q := c.Place
	if c.W == 0 || q.A <= 0 || q.D <= 0 || math.Abs(q.B)+math.Abs(q.C) > 1e-3*(q.A+q.D) {
		return false
	}
	across, down := float64(c.W)/q.A, float64(c.H)/q.D
	if m.across == 0 {
		m.across, m.down = across, down
	}
	// The resolution of a strip of few rows is coarse: compare its rows.
	rows := math.Abs(q.D*m.down - float64(c.H))
	return math.Abs(across/m.across-1) <= 0.01 && rows <= 0.6+0.01*float64(c.H)
}

// open gives the header the picture that the pieces make.
func (m mosaic) open(h *header, name string, left int) error {
	if left > 0 {
		h.notes = append(h.notes, fmt.Sprintf("%d other pictures on the page were left out.", left))
	}
	h.w, h.h = m.w, m.h
	h.decode = m.decode
	t := tags{}
	t.setDensity(m.across, m.down, 1, map[int]float64{1: paths.MMPerInch})
	h.take(t)
	for _, c := range m.pieces {
		if float64(c.W)*float64(c.H)*c.PerPixel > maxDecoded {
			return fault.Bad(name, "scan at 300 pixels an inch, in 8-bit grey", "a picture on the page is larger than is read")
		}
	}
	return h.checkSize(name, 4)
}

func (m mosaic) decode() (image.Image, error) {
	out := image.NewNRGBA(image.Rect(0, 0, m.w, m.h))
	draw.Draw(out, out.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	for _, c := range m.pieces {
		img, err := c.Decode()
		if err != nil {
			return nil, err
		}
		x := int(math.Round((c.Place.E - m.box.Min.X) * m.across))
		y := int(math.Round((m.box.Max.Y - c.Place.F - c.Place.D) * m.down))
		draw.Draw(out, image.Rect(x, y, x+c.W, y+c.H), img, img.Bounds().Min, draw.Over)
	}
	return out, nil
}
