package paper

import (
	"math"

	"weftplot/paths/scan/skeleton"
)

// dotMM is how far from its middle a printed dot reaches at most.
const dotMM = 0.6

// dotted looks for dots where two rows of lines cross that are too pale for lines
// themselves, and takes them out. It returns nil where there are none.
func dotted(plane skeleton.Plane, rows []*family, noise float64) *Ruling {
	for i, a := range rows {
		for _, b := range rows[i+1:] {
			ratio := a.pitch / b.pitch
			turned := math.Abs(wrapped(a.angle-b.angle, math.Pi))
			if ratio < 0.9 || ratio > 1.1 || turned < 50*degree {
				continue
			}
			d := dots{a: a, b: b, reach: min(dotMM/a.mm+2, a.pitch*float64(a.k)/3)}
			if !d.measure(plane) {
				continue
			}
			d.remove(plane, noise)
			pitch := a.pitch * float64(a.k) * a.mm
			return &Ruling{Kind: "dotted", PitchMM: pitch, DarkShare: float64(skeleton.Paper-d.profile[0]) / skeleton.Paper}
		}
	}
	return nil
}

// dots are printed where the lines of two rows cross.
type dots struct {
	a, b  *family
	reach float64 // pixels
	// profile is the usual grey at each half pixel from the middle of a dot.
	profile []uint8
}

// each calls visit for the pixels of a row of the page that lie on a dot or near it.
func (d *dots) each(y int, visit func(x, dot int, r float64)) {
	near := make([]float64, d.a.w)
	which := make([]int, d.a.w)
	for i := range near {
		near[i] = math.Inf(1)
	}
	wide := func(f *family) *family {
		g := *f
		g.reach = d.reach
		return &g
	}
	wide(d.a).each(y, 1, func(x, line, _ int, off float64) { near[x], which[x] = off, line })
	wide(d.b).each(y, 1, func(x, line, _ int, off float64) {
		if r := math.Hypot(near[x], off); r < d.reach {
			visit(x, which[x]*d.b.lines+line, r)
		}
	})
}

// measure takes the medians of the grey about all dots, and reports whether most of
// them are there and stand alone.
func (d *dots) measure(plane skeleton.Plane) bool {
	rings := int(2*d.reach) + 1
	count := make([]uint16, rings*64)
	sum, n := make([]float32, d.a.lines*d.b.lines), make([]float32, d.a.lines*d.b.lines)
	for y := range plane.H {
		d.each(y, func(x, dot int, r float64) {
			g := plane.Pixels[y*plane.W+x]
			if c := &count[int(2*r)*64+int(g/4)]; *c < math.MaxUint16 {
				*c++
			}
			if r < 1.2 {
				sum[dot], n[dot] = sum[dot]+float32(g), n[dot]+1
			}
		})
	}
	d.profile = medians(count)
	side := d.profile[rings-1]
	for i, g := range d.profile {
		if g == unseen {
			g = side
		}
		d.profile[i] = uint8(min(skeleton.Paper, int(g)+skeleton.Paper-int(min(side, skeleton.Paper))))
		if i > 0 {
			d.profile[i] = max(d.profile[i], d.profile[i-1])
		}
	}
	dark := float32(skeleton.Paper - d.profile[0])
	there, all := 0, 0
	for i := range sum {
		if n[i] > 0 {
			all++
			if skeleton.Paper-sum[i]/n[i] > dark/2 {
				there++
			}
		}
	}
	return dark > 10 && all > 60 && 3*there > 2*all
}

// remove takes the dots out of a plane.
func (d *dots) remove(plane skeleton.Plane, noise float64) {
	skeleton.Bands(plane.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			row := plane.Pixels[y*plane.W:][:plane.W]
			d.each(y, func(x, _ int, r float64) {
				if print := float64(skeleton.Paper - d.profile[min(len(d.profile)-1, int(2*r))]); print >= 1.5 {
					// The lattice is only known to a pixel or so.
					row[x] = unprinted(float64(row[x]), 1.15*print, noise)
				}
			})
		}
	})
}
