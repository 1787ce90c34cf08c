package proof

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"slices"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/proof/typeface"
)

// Bounds of a picture in pixels: the least readable width, and the greatest
// number of pixels.
const (
	minWidth  = 64
	maxPixels = 100_000_000
)

// DefaultPixels is the width of a picture where none is asked for.
const DefaultPixels = 1600

// PNG returns the picture of s as a PNG file of the given width in pixels; 0 is
// [DefaultPixels]. A width that is too small, or makes too large a picture, is
// a [fault.Input]; other errors are those of [SVG].
func PNG(s Scene, width int) ([]byte, error) {
	width = cmp.Or(width, DefaultPixels)
	pic, err := drawScene(s, nil)
	if err != nil {
		return nil, err
	}
	height := int(math.Round(pic.h / pic.w * float64(width)))
	if width < minWidth || height < 1 || width > maxPixels/height {
		return nil, fault.Bad("proof", "ask for another width",
			"a picture %d pixels wide and %d high is not between %d pixels wide and %d in all", width, height, minWidth, maxPixels)
	}
	r := newRaster(width, height)
	k := float64(width) / pic.w
	for _, n := range pic.nodes {
		r.node(n, paths.Scale(k, k), r.img.Bounds(), nil)
	}
	var out bytes.Buffer
	if err := png.Encode(&out, r.img); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// raster paints a picture's nodes on pixels with canvas, which is given only
// polygons to fill, because its own strokes and flattening go wrong on some
// curves.
type raster struct {
	img  *image.RGBA
	fill *rasterizer.Rasterizer // fills on img, y up from its lower edge
}

func newRaster(w, h int) *raster {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	return rasterOn(img)
}

func rasterOn(img *image.RGBA) *raster {
	return &raster{img, rasterizer.FromImage(img, canvas.DPMM(1), canvas.LinearColorSpace{})}
}

// node paints n, whose coordinates m maps to pixels, inside clip.
func (r *raster) node(n node, m paths.Affine, clip image.Rectangle, l *look) {
	switch n := n.(type) {
	case *group:
		r.group(n, m, clip, l)
	case shape:
		if n.look != nil {
			l = n.look
		}
		r.shape(n.strokes, *l, m, clip)
	case *separate:
		for i := range n.strokes {
			r.shape(n.strokes[i:i+1], *l, m, clip)
		}
	case words:
		r.words(n, m, clip)
	case pixels:
		r.pixels(n, m, clip)
	}
}

// group paints the nodes of n. A group with a clip is painted on a copy, and
// only the part inside the clip is copied back.
func (r *raster) group(n *group, m paths.Affine, clip image.Rectangle, l *look) {
	into := r
	if n.clip != nil {
		clip = clip.Intersect(pixelRect(paths.RectOf(m.Apply(n.clip.Min), m.Apply(n.clip.Max))))
		if clip.Empty() {
			return
		}
		layer := image.NewRGBA(r.img.Bounds())
		copy(layer.Pix, r.img.Pix)
		into = rasterOn(layer)
		defer draw.Draw(r.img, clip, layer, clip.Min, draw.Src)
	}
	if n.at != nil {
		m = n.at.Then(m)
	}
	if n.look != nil {
		l = n.look
	}
	for _, kid := range n.nodes {
		into.node(kid, m, clip, l)
	}
}

// flatness is how far a line on pixels may be from its curve, in pixels.
const flatness = 0.05

func (r *raster) shape(strokes []paths.Stroke, l look, m paths.Affine, clip image.Rectangle) {
	k := m.MeanScale()
	lines := make([][]paths.Point, 0, len(strokes))
	for _, s := range strokes {
		lines = append(lines, s.Transform(m).Flatten(flatness))
	}
	if l.fill != "" {
		r.paint(lines, l.fill, clip)
	}
	if l.stroke == "" {
		return
	}
	if len(l.dash) > 0 {
		pattern := make([]float64, len(l.dash))
		for i, d := range l.dash {
			pattern[i] = d * k
		}
		lines = dashed(lines, pattern)
	}
	half := l.width * k / 2
	area := paths.RectOf(point(clip.Min), point(clip.Max)).Grow(half + 2)
	r.paint(outlined(lines, half, l.round, area), l.stroke, clip)
}

func (r *raster) words(w words, m paths.Affine, clip image.Rectangle) {
	start := paths.Translate(paths.Point{X: w.box().Min.X, Y: w.at.Y})
	outline := typeface.Outline(w.text, w.size, w.bold)
	if w.halo {
		halo := look{stroke: paper, width: haloWidth * w.size, round: true}
		r.shape(outline, halo, start.Then(m), clip)
	}
	r.shape(outline, look{fill: w.colour}, start.Then(m), clip)
}

// left is the left end of a polygon, in pixels.
type left struct {
	x       float64
	polygon int
}

// paint fills closed polygons with a colour, by the non-zero rule.
func (r *raster) paint(polygons [][]paths.Point, colour string, clip image.Rectangle) {
	box := paths.EmptyRect()
	lefts := make([]left, len(polygons))
	for i, p := range polygons {
		b := paths.RectOf(p...)
		box = box.Union(b)
		lefts[i] = left{b.Min.X, i}
	}
	if box.IsEmpty() || pixelRect(box).Intersect(clip).Empty() {
		return
	}
	// The scanner looks for each cell from the left end of its row. It finds those of the
	// rightmost polygons at once where they come first; what it paints is the same in any
	// order, since it adds up whole numbers.
	slices.SortFunc(lefts, func(a, b left) int { return cmp.Compare(b.x, a.x) })
	area := canvas.Path{}
	top := float64(r.img.Bounds().Dy())
	for _, l := range lefts {
		p := polygons[l.polygon]
		for i, q := range p {
			if i == 0 {
				area.MoveTo(q.X, top-q.Y)
			} else {
				area.LineTo(q.X, top-q.Y)
			}
		}
		area.Close()
	}
	c, err := parseColour(colour)
	if err != nil {
		c = color.RGBA{A: 255}
	}
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{Color: c}
	r.fill.RenderPath(&area, style, canvas.Identity)
}

// pixelRect returns the pixels that r touches.
func pixelRect(r paths.Rect) image.Rectangle {
	return image.Rect(int(math.Floor(r.Min.X)), int(math.Floor(r.Min.Y)),
		int(math.Ceil(r.Max.X)), int(math.Ceil(r.Max.Y)))
}

func point(p image.Point) paths.Point { return paths.Point{X: float64(p.X), Y: float64(p.Y)} }
