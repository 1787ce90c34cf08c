package scan

import (
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"

	"weftplot/paths"
	"weftplot/paths/scan/papers"
)

// overlayScale is how many times larger than the page its overlay is.
const overlayScale = 2

// sheetOver is the picture of a page with lines over it.
type sheetOver struct {
	*image.RGBA
	px, h float64 // pixels to a mm, and the height in mm
}

// writeOverlay writes the picture of a scanned page with the drawn lines in green, those
// found in red, the places listed as blue rings, and the ways out of regions that are
// open and not listed in magenta.
func writeOverlay(name string, p papers.Page, found []paths.Stroke, listed []paths.Point, v papers.Verdict) error {
	box := p.Picture.Bounds()
	o := sheetOver{image.NewRGBA(image.Rect(0, 0, overlayScale*box.Dx(), overlayScale*box.Dy())), overlayScale * papers.DPI / 25.4, float64(box.Dy()) * 25.4 / papers.DPI}
	for y := range o.Rect.Dy() {
		for x := range o.Rect.Dx() {
			o.Set(x, y, p.Picture.At(box.Min.X+x/overlayScale, box.Min.Y+y/overlayScale))
		}
	}
	for _, s := range p.Drawn {
		o.line(s, color.RGBA{0, 170, 0, 255})
	}
	for _, s := range found {
		o.line(s, color.RGBA{230, 0, 0, 255})
	}
	for _, at := range listed {
		o.line(paths.Stroke{paths.Circle(at, 2.5)}, color.RGBA{0, 60, 255, 255})
	}
	for _, at := range v.Lost {
		o.line(paths.Stroke{paths.Circle(at, 0.01)}, color.RGBA{255, 0, 255, 255})
	}
	file, err := os.Create(name)
	if err != nil {
		return err
	}
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(file, o); err != nil {
		return err
	}
	return file.Close()
}

// line draws a stroke about two pixels wide.
func (o sheetOver) line(s paths.Stroke, c color.RGBA) {
	pts := s.Flatten(0.02)
	for i, b := range pts {
		a := pts[max(0, i-1)]
		n := max(1, int(math.Ceil(a.Dist(b)*o.px)))
		for k := range n + 1 {
			q := a.Lerp(b, float64(k)/float64(n))
			x, y := int(q.X*o.px), int((o.h-q.Y)*o.px)
			draw.Draw(o.RGBA, image.Rect(x, y, x+2, y+2), image.NewUniform(c), image.Point{}, draw.Src)
		}
	}
}
