package truth

import (
	"math"
	"math/rand/v2"

	"weftplot/paths"
	"weftplot/paths/scan/raster"
)

// Paper says how a drawing was drawn and how its picture was taken. With only
// Width and Dark set, the picture is perfect.
type Paper struct {
	Name string
	// Width is the width of the line in mm.
	Width float64
	// Dark is how much of the light a line absorbs, from 0 to 1.
	Dark float64
	// Grain is how much of that the paper's tooth leaves out, from 0 to 1.
	Grain float64
	// Blur is the standard deviation of the lens's spread, in mm.
	Blur float64
	// Noise is the standard deviation of the sensor's noise in steps of grey.
	Noise float64
	// FallOff is the share of the light that is lost at the far corner.
	FallOff float64
	// Folds is how many folds cross the paper, each with a shadow at its side.
	Folds int
	// Turn is how far the paper is turned, in degrees counter-clockwise.
	Turn float64
	// Seed starts the random numbers.
	Seed uint64
}

// Scan is ink on a flat-bed scanner.
func Scan(width float64) Paper {
	return Paper{Name: "scan", Width: width, Dark: 0.85, Blur: 0.06, Noise: 4, FallOff: 0.15, Turn: 1.5, Seed: 1}
}

// Pencil is soft pencil on grainy paper in uneven light.
func Pencil(width float64) Paper {
	return Paper{Name: "pencil", Width: width, Dark: 0.6, Grain: 0.45, Blur: 0.08, Noise: 5, FallOff: 0.35, Turn: 1.5, Seed: 2}
}

// Faint is hard pencil that hardly marks the paper.
func Faint(width float64) Paper {
	return Paper{Name: "faint", Width: width, Dark: 0.35, Grain: 0.6, Blur: 0.08, Noise: 5, FallOff: 0.35, Turn: 1.5, Seed: 3}
}

// Photo is pencil on paper that was folded twice, in the light of one lamp.
func Photo(width float64) Paper {
	return Paper{Name: "photo", Width: width, Dark: 0.6, Grain: 0.45, Blur: 0.1, Noise: 5, FallOff: 0.5, Folds: 2, Turn: 1.5, Seed: 4}
}

// Of returns the picture of d on this paper at dpi dots to the inch, and the
// drawing turned as it lies in the picture.
func (p Paper) Of(d Drawing, dpi float64) (raster.Page, Drawing) {
	d = d.Turned(p.Turn)
	mm := 25.4 / dpi
	page := raster.Page{W: int(math.Round(d.W / mm)), H: int(math.Round(d.H / mm)), MM: mm}
	return p.OfInk(covered(d.Strokes, p.Width, page), page.W, page.H, mm), d
}

// OfInk returns the picture of ink on this paper. cover is how much of each
// pixel the ink covers, from 0 to 1, rows from the top. Width and Turn are not
// used.
func (p Paper) OfInk(cover []float32, w, h int, mm float64) raster.Page {
	page := raster.Page{W: w, H: h, MM: mm}
	light := make([]float32, page.W*page.H)
	for i, c := range cover {
		light[i] = 1
		if c > 0 {
			tooth := grain(float64(i%page.W)*mm, float64(i/page.W)*mm, p.Seed)
			light[i] -= c * float32(p.Dark*(1-p.Grain*tooth))
		}
	}
	blur(light, page.W, page.H, p.Blur/mm)
	random := rand.New(rand.NewPCG(p.Seed, 0x5ca1ab1e))
	page.Light = make([]uint8, len(light))
	for i, l := range light {
		x, y := (float64(i%page.W)+0.5)/float64(page.W), (float64(i/page.W)+0.5)/float64(page.H)
		level := 245 * float64(l) * p.lamp(x, y)
		page.Light[i] = uint8(min(255, max(0, math.Round(level+p.Noise*random.NormFloat64()))))
	}
	return page
}

// lamp returns how much of the light falls on a place of the sheet, which goes
// from 0 to 1 both ways. A fold's shadow is deepest at the fold and has an edge
// there; it fades to one side, and the other is a little brighter.
func (p Paper) lamp(x, y float64) float64 {
	l := 1 - p.FallOff*(x*x+y*y)/2
	for i := range p.Folds {
		at := x
		if i%2 == 1 {
			at = y
		}
		if d := at - float64(i+1)/float64(p.Folds+1); d >= 0 {
			l *= 1 - 0.22*math.Exp(-d/0.03)
		} else {
			l *= 1 + 0.03*math.Exp(d/0.01)
		}
	}
	return l
}

// covered returns how much of each pixel the strokes cover, as the mean over
// four places in it; each counts by how far it lies inside the edge of the
// line. Lines have round ends.
func covered(strokes []paths.Stroke, width float64, page raster.Page) []float32 {
	const sub = 2
	w, h, mm := page.W*sub, page.H*sub, page.MM/sub
	cover := make([]float32, page.W*page.H)
	best := make([]uint8, w*h) // the greatest depth at each place, 255 for all of it
	stamp := func(a, b paths.Point) {
		box := paths.RectOf(a, b).Grow(width/2 + mm)
		x0, x1 := max(0, int(box.Min.X/mm)), min(w-1, int(box.Max.X/mm))
		y0, y1 := max(0, int(box.Min.Y/mm)), min(h-1, int(box.Max.Y/mm))
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				d := toSegment(paths.Point{X: (float64(x) + 0.5) * mm, Y: (float64(y) + 0.5) * mm}, a, b)
				if c := min(1, (width/2-d)/mm+0.5); c > 0 {
					best[y*w+x] = max(best[y*w+x], uint8(255*c))
				}
			}
		}
	}
	for _, s := range strokes {
		pts := s.Flatten(0.003)
		if len(pts) == 1 {
			pts = append(pts, pts[0])
		}
		for i := 1; i < len(pts); i++ {
			a, b := pts[i-1], pts[i]
			n := max(1, int(a.Dist(b)/2)) // in short pieces, because the box of a long slanting line is mostly empty
			for k := range n {
				stamp(a.Lerp(b, float64(k)/float64(n)), a.Lerp(b, float64(k+1)/float64(n)))
			}
		}
	}
	for i, c := range best {
		x, y := i%w/sub, page.H-1-i/w/sub
		cover[y*page.W+x] += float32(c) / (255 * sub * sub)
	}
	return cover
}

// grain returns how much of the pencil the paper's tooth leaves out at a place
// in mm, from 0 to 1: smooth noise of two sizes.
func grain(x, y float64, seed uint64) float64 {
	g := (smooth(x/0.1, y/0.1, seed) + smooth(x/0.25, y/0.25, seed+1)) / 2
	return min(1, max(0, 0.5+1.8*(g-0.5)))
}

// smooth is noise: random at whole numbers and linear between them.
func smooth(x, y float64, seed uint64) float64 {
	i, j := math.Floor(x), math.Floor(y)
	fx, fy := x-i, y-j
	at := func(i, j float64) float64 {
		h := seed*0x9e3779b97f4a7c15 ^ uint64(int64(i))*0xbf58476d1ce4e5b9 ^ uint64(int64(j))*0x94d049bb133111eb
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		return float64((h^h>>31)>>11) / (1 << 53)
	}
	return (at(i, j)*(1-fx)+at(i+1, j)*fx)*(1-fy) + (at(i, j+1)*(1-fx)+at(i+1, j+1)*fx)*fy
}

// blur is a Gaussian blur of v; sigma is in pixels.
func blur(v []float32, w, h int, sigma float64) {
	if sigma <= 0 {
		return
	}
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float32, 2*reach+1)
	var sum float32
	for i := range kernel {
		d := float64(i - reach)
		kernel[i] = float32(math.Exp(-d * d / (2 * sigma * sigma)))
		sum += kernel[i]
	}
	pass := func(n, stride, start int) {
		line := make([]float32, n)
		for i := range line {
			line[i] = v[start+i*stride]
		}
		for i := range line {
			var s float32
			for k, f := range kernel {
				s += f * line[min(n-1, max(0, i+k-reach))]
			}
			v[start+i*stride] = s / sum
		}
	}
	for y := range h {
		pass(w, 1, y*w)
	}
	for x := range w {
		pass(h, w, x)
	}
}
