package proof

import (
	"bytes"
	"encoding/base64"
	"image"
	"image/color"
	"image/png"

	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"weftplot/paths"
)

// pixels is a grey picture in a box on the page.
type pixels struct {
	img *image.Gray
	box paths.Rect
}

func (pixels) isNode() {}

// greys is how many greys a picture is stored with: enough to recognise a
// drawing, and few enough that the noise of paper does not fill the file.
const greys = 32

// pixels writes a picture into the SVG itself, as PNG.
func (w *svgWriter) pixels(p pixels) {
	palette := make(color.Palette, greys)
	for i := range palette {
		palette[i] = color.Gray{Y: uint8(i * 255 / (greys - 1))}
	}
	b := p.img.Bounds()
	few := image.NewPaletted(image.Rect(0, 0, b.Dx(), b.Dy()), palette)
	for y := range b.Dy() {
		row := p.img.Pix[y*p.img.Stride:]
		for x := range b.Dx() {
			few.Pix[y*few.Stride+x] = uint8((int(row[x])*(greys-1) + 127) / 255)
		}
	}
	var buf bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.DefaultCompression}).Encode(&buf, few); err != nil && w.err == nil {
		w.err = err
	}
	w.line("<image" + attr("x", num(p.box.Min.X)) + attr("y", num(p.box.Min.Y)) +
		attr("width", num(p.box.Width())) + attr("height", num(p.box.Height())) +
		` preserveAspectRatio="none" href="data:image/png;base64,` + base64.StdEncoding.EncodeToString(buf.Bytes()) + `"/>`)
}

// pixels paints a picture, each pixel the mean of what it covers.
func (r *raster) pixels(p pixels, m paths.Affine, clip image.Rectangle) {
	b := p.img.Bounds()
	box := paths.RectOf(m.Apply(p.box.Min), m.Apply(p.box.Max))
	sx, sy := box.Width()/float64(b.Dx()), box.Height()/float64(b.Dy())
	dst := r.img.SubImage(clip).(*image.RGBA)
	draw.BiLinear.Transform(dst, f64.Aff3{sx, 0, box.Min.X, 0, sy, box.Min.Y}, p.img, b, draw.Src, nil)
}
