package skeleton

import (
	"math"
	"slices"

	"weftplot/paths/scan/raster"
)

// Paper is the grey of bare paper once the light is evened out. Brighter pixels
// keep their difference from it, so that noise stays symmetric.
const Paper = 224

// CellMM is the usual size of the cells in which the paper's light is measured: wider
// than a line and narrower than a shadow.
const CellMM = 2.5

// EvenLight makes the light of a page even: each pixel as a share of the light
// of bare paper about it, which is 224. The light is measured in cells of cellMM.
func EvenLight(p raster.Page, cellMM float64) Plane {
	size := max(4, int(math.Round(cellMM/p.MM)))
	l := paperLight{size: size, w: (p.W + size - 1) / size, h: (p.H + size - 1) / size}
	l.measure(p)
	l.uncover()
	l.rank()
	out := NewPlane(p.W, p.H)
	Bands(p.H, func(y0, y1 int) {
		row := make([]float32, p.W)
		for y := y0; y < y1; y++ {
			l.row(y, row)
			at := y * p.W
			for x, level := range row {
				out.Pixels[at+x] = uint8(min(255, float32(p.Light[at+x])*(Paper/level)+0.5))
			}
		}
	})
	return out
}

// paperLight is the light of bare paper in square cells, size pixels wide.
type paperLight struct {
	size, w, h int
	v          []float32
}

// measure takes the brightness that four fifths of a cell stay below: that is
// paper, even where lines cover half of the cell.
func (l *paperLight) measure(p raster.Page) {
	l.v = make([]float32, l.w*l.h)
	Bands(l.h, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			for i := range l.w {
				var count [256]int
				n := 0
				for y := j * l.size; y < min(p.H, (j+1)*l.size); y++ {
					for _, g := range p.Light[y*p.W+i*l.size : y*p.W+min(p.W, (i+1)*l.size)] {
						count[g]++
						n++
					}
				}
				left, g := n/5, 255
				for ; g > 0 && left >= count[g]; g-- {
					left -= count[g]
				}
				l.v[j*l.w+i] = float32(max(1, g))
			}
		}
	})
}

// hidden is the share of the light of its surroundings below which a cell shows
// no paper because ink covers all of it.
const hidden = 0.72

// uncover gives cells that show no paper the light of the nearest that do.
func (l *paperLight) uncover() {
	const reach = 6
	seen := make([]bool, len(l.v))
	var near []float32
	for j := range l.h {
		for i := range l.w {
			near = near[:0]
			for y := max(0, j-reach); y <= min(l.h-1, j+reach); y++ {
				near = append(near, l.v[y*l.w+max(0, i-reach):y*l.w+min(l.w, i+reach+1)]...)
			}
			slices.Sort(near)
			seen[j*l.w+i] = l.v[j*l.w+i] >= hidden*near[len(near)*9/10]
		}
	}
	for again := true; again; {
		again = false
		was := slices.Clone(seen)
		for k := range l.v {
			if was[k] {
				continue
			}
			var sum, n float32
			for _, d := range [4][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
				if x, y := k%l.w+d[0], k/l.w+d[1]; x >= 0 && x < l.w && y >= 0 && y < l.h && was[y*l.w+x] {
					sum, n = sum+l.v[y*l.w+x], n+1
				}
			}
			if n > 0 {
				l.v[k], seen[k], again = sum/n, true, true
			}
		}
	}
}

// rank replaces each cell by one of the brighter among itself and its
// neighbours.
func (l *paperLight) rank() {
	out := make([]float32, len(l.v))
	for j := range l.h {
		for i := range l.w {
			var near []float32
			for y := max(0, j-1); y <= min(l.h-1, j+1); y++ {
				near = append(near, l.v[y*l.w+max(0, i-1):y*l.w+min(l.w, i+2)]...)
			}
			slices.Sort(near)
			out[j*l.w+i] = near[len(near)*2/3]
		}
	}
	l.v = out
}

// row sets out to the light of the paper along row y, interpolated linearly
// between the middles of the cells.
func (l *paperLight) row(y int, out []float32) {
	at := func(k, n int) (int, int, float32) {
		f := (float32(k)+0.5)/float32(l.size) - 0.5
		i := max(0, min(n-1, int(math.Floor(float64(f)))))
		return i, min(n-1, i+1), min(1, max(0, f-float32(i)))
	}
	j, j1, fy := at(y, l.h)
	column := make([]float32, l.w)
	for i := range column {
		column[i] = l.v[j*l.w+i]*(1-fy) + l.v[j1*l.w+i]*fy
	}
	for x := range out {
		i, i1, fx := at(x, l.w)
		out[x] = column[i]*(1-fx) + column[i1]*fx
	}
}
