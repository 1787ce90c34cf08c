package loops

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/scan/skeleton"
)

// pixels is a rectangle of pixels, both corners in it.
type pixels struct{ x0, y0, x1, y1 int }

func (r *pixels) include(x, y int) {
	r.x0, r.y0, r.x1, r.y1 = min(r.x0, x), min(r.y0, y), max(r.x1, x), max(r.y1, y)
}

func noPixels() pixels { return pixels{math.MaxInt, math.MaxInt, -1, -1} }

// picture is the drawing in rows of loops: a coordinate of 1 is one row wide either
// way.
type picture struct {
	gauge  Gauge
	res    float64     // pixels in a row
	origin paths.Point // of the picture, in rows
	w, h   int
	ink    []bool
	segs   []paths.Line // in rows
	cells  *near.Cells
	// away is how far each pixel is from ink, in pixels.
	away skeleton.Distances
	// seen marks what a search has met.
	seen []bool
	// budget is how many more pixels the narrow parts of faces may take, and looks how
	// many more times a place may be held against a line.
	budget, looks int
}

// maxLooks bounds how often places are held against lines: crowded lines make faces by
// the hundred thousand, and none of them is worth minutes.
const maxLooks = 60_000_000

// farthest is up to how far pixels are measured: more than is asked of them.
const farthest = 2 * finest

// pad is how many rows of cloth the picture has round the drawing.
const pad = 2

// newPicture draws the strokes. A drawing that is too large for the coarsest picture
// is none.
func newPicture(strokes []paths.Stroke, g Gauge) (*picture, bool) {
	p := &picture{gauge: g, budget: 10 * maxPixels, looks: maxLooks}
	toRows := paths.Scale(1/g.Across, 1/g.Along)
	box := paths.EmptyRect()
	for _, s := range strokes {
		pts := s.Flatten(min(g.Across, g.Along) / 500)
		for i := range pts {
			pts[i] = toRows.Apply(pts[i])
			box = box.Include(pts[i])
			if i > 0 && pts[i] != pts[i-1] {
				p.segs = append(p.segs, paths.Line{A: pts[i-1], B: pts[i]})
			}
		}
	}
	if box.IsEmpty() {
		return p, true
	}
	box = box.Grow(pad)
	p.origin = box.Min
	p.res = min(finest, math.Sqrt(maxPixels/(box.Width()*box.Height())))
	if !(p.res >= coarsest) {
		return nil, false
	}
	p.w, p.h = int(math.Ceil(box.Width()*p.res)), int(math.Ceil(box.Height()*p.res))
	p.ink, p.seen = make([]bool, p.w*p.h), make([]bool, p.w*p.h)
	for _, s := range p.segs {
		p.draw(s)
	}
	const side = 0.25 // of a row
	p.cells = near.NewCells(box, side, len(p.segs), func(i int, put func(paths.Rect)) {
		near.Steps(p.segs[i].A, p.segs[i].B, side, put)
	})
	bare := skeleton.NewPlane(p.w, p.h)
	for i, ink := range p.ink {
		if !ink {
			bare.Pixels[i] = 1
		}
	}
	p.away = skeleton.DistancesWithin(bare, farthest)
	return p, true
}

// pixel returns the coordinates of a place in pixels.
func (p *picture) pixel(at paths.Point) (x, y float64) {
	return (at.X - p.origin.X) * p.res, (at.Y - p.origin.Y) * p.res
}

// middle returns the middle of a pixel, in rows.
func (p *picture) middle(x, y int) paths.Point {
	return p.origin.Add(paths.Point{X: (float64(x) + 0.5) / p.res, Y: (float64(y) + 0.5) / p.res})
}

// onRug returns a place in mm.
func (p *picture) onRug(at paths.Point) paths.Point {
	return paths.Point{X: at.X * p.gauge.Across, Y: at.Y * p.gauge.Along}
}

// draw inks every pixel that a line goes through, so that nothing leaks from one side
// of it to the other, after Amanatides and Woo, "A fast voxel traversal algorithm for
// ray tracing" (1987).
func (p *picture) draw(s paths.Line) {
	ax, ay := p.pixel(s.A)
	bx, by := p.pixel(s.B)
	x, y := int(math.Floor(ax)), int(math.Floor(ay))
	stepX, nextX, everyX := stride(ax, bx)
	stepY, nextY, everyY := stride(ay, by)
	p.put(x, y)
	for nextX <= 1 || nextY <= 1 {
		if nextX < nextY {
			x, nextX = x+stepX, nextX+everyX
		} else {
			y, nextY = y+stepY, nextY+everyY
		}
		p.put(x, y)
	}
}

// stride says which way a coordinate steps from pixel to pixel on a line from a to b,
// at which part of the line it first does, and how much later again.
func stride(a, b float64) (step int, first, every float64) {
	d := b - a
	switch {
	case d > 0:
		return 1, (math.Floor(a) + 1 - a) / d, 1 / d
	case d < 0:
		return -1, (math.Floor(a) - a) / d, -1 / d
	}
	return 0, math.Inf(1), math.Inf(1)
}

func (p *picture) put(x, y int) {
	if x >= 0 && y >= 0 && x < p.w && y < p.h {
		p.ink[y*p.w+x] = true
	}
}

// toLine returns how far a place is from the nearest line, in rows, but no more than
// one and a half. The picture says how far to look: the line that inked a pixel goes
// through it, and both places are within half a diagonal of the middle of their pixel.
func (p *picture) toLine(at paths.Point) float64 {
	const most = 1.5
	best, reach := most, most
	if x, y := p.pixel(at); x >= 0 && y >= 0 && int(x) < p.w && int(y) < p.h {
		reach = min(most, (p.away.At(int(y)*p.w+int(x))+math.Sqrt2+1e-6)/p.res)
	}
	p.cells.In(paths.RectOf(at, at).Grow(reach), func(items []int32) {
		p.looks -= len(items)
		for _, i := range items {
			// The square of the distance, which costs far less, tells most lines off.
			if p.segs[i].DistSq(at) > (best+1e-6)*(best+1e-6) {
				continue
			}
			if _, d := p.segs[i].Nearest(at); d < best {
				best = d
			}
		}
	})
	return best
}
