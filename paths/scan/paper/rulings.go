package paper

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"weftplot/paths/scan/skeleton"
)

// Ruling is what a sheet is printed with all over.
type Ruling struct {
	// Kind is "lined", "squared", "isometric", "ruled" or "dotted".
	Kind string
	// PitchMM is how far its lines, or dots, are apart.
	PitchMM float64
	// DarkShare is how dark its lines are, as a share of black.
	DarkShare float64
	// Loners is how many single lines go from side to side, such as that of a margin.
	Loners   int
	families []*family
}

// String says what the paper is: "squared paper, 5.0 mm".
func (r Ruling) String() string { return fmt.Sprintf("%s paper, %.1f mm", r.Kind, r.PitchMM) }

// usualMM are the periods of squared, dotted and isometric paper that is sold: whole
// millimetres, and a tenth, a fifth and a quarter of an inch (common practice).
var usualMM = []float64{1, 2, 2.54, 4, 5, 5.08, 6.35, 7, 8, 10}

// IsUsual reports whether paper with such a ruling is usual. If it is not, the size of
// the picture is in doubt. Lines are sold from 5 to 13 mm apart, so that they tell less.
func (r Ruling) IsUsual() bool {
	if r.Kind == "lined" || r.Kind == "ruled" {
		return r.PitchMM > 5 && r.PitchMM < 13
	}
	return slices.ContainsFunc(usualMM, func(mm float64) bool { return math.Abs(r.PitchMM/mm-1) < 0.03 })
}

// workMM is the size of pixels in which rulings are looked for.
const workMM = 0.16

// Unruled looks for a ruling on a page whose light was evened out, and takes it out of
// the plane. It returns nil where there is none, and then leaves the plane as it is.
//
// The rows of lines come from the peaks of the spectrum; each is followed over the
// sheet by its phase, to which a bent sheet is fitted, in the manner of Chen and
// Lopresti, "Model-based ruling line detection in noisy handwritten documents",
// ICDAR 2011: all lines are one model. What the lines absorb is measured along each.
func Unruled(plane skeleton.Plane, mm float64) *Ruling {
	k := max(1, int(math.Round(workMM/mm)))
	mmSmall := mm * float64(k)
	small := reduced(plane, k)
	spec, ok := spectrumOf(small)
	if !ok {
		return nil
	}
	var r Ruling
	noise := noiseOf(plane)
	for _, w := range spec.waves(mmSmall) {
		if len(r.families) == mostFamilies || isKnown(w, r.families) {
			continue
		}
		f := followed(plane, small, mm, k, w)
		if f == nil || isKnown(f.wave, r.families) {
			continue
		}
		if _, ok := f.isPrinted(); !ok {
			continue
		}
		if fine := f.finer(plane); fine != nil {
			if _, ok := fine.isPrinted(); ok {
				f = fine
			}
		}
		f.centre(plane)
		f.remove(plane, noise)
		r.families = append(r.families, f)
	}
	if len(r.families) == 0 {
		r := dotted(plane, mm, noise)
		if r != nil {
			whiten(plane, int(math.Ceil(sideMM/mm)))
		}
		return r
	}
	whiten(plane, int(math.Ceil(sideMM/mm)))
	r.Loners = removeLoners(plane, r.families[0], noise)
	r.describe()
	return &r
}

// sideMM is how wide a strip along the sides of a ruled picture is taken for bare: what
// is left there of a line of print that only half lies in the picture is no ink.
const sideMM = 1.2

// whiten makes paper of a strip along the sides of a plane, so many pixels wide.
func whiten(plane skeleton.Plane, wide int) {
	for y := range plane.H {
		row := plane.Pixels[y*plane.W:][:plane.W]
		for x := range row {
			if min(x, y, plane.W-1-x, plane.H-1-y) < wide {
				row[x] = max(row[x], skeleton.Paper)
			}
		}
	}
}

// mostFamilies is how many rows of lines a ruling may have.
const mostFamilies = 4

// followed follows a row of lines over the page; small is the page at a size at which
// that is quick, k times smaller. It returns nil where they are not even, or not there.
func followed(plane, small skeleton.Plane, mm float64, k int, w wave) *family {
	mmSmall := mm * float64(k)
	if !stripsOf(small, w, mmSmall, max(2, int(0.4/mmSmall))).standsOut() {
		return nil
	}
	w = aimed(small, w, mmSmall)
	s := stripsOf(small, w, mmSmall, 1)
	knots := s.knots()
	if far := s.window(); 5*len(knots) < s.n*s.m/far {
		return nil
	}
	c, share := s.bend(knots)
	if share < 0.6 {
		return nil
	}
	return familyOf(plane, mm, k, w, s.fieldOf(c, small.W, small.H))
}

func isKnown(w wave, known []*family) bool {
	return slices.ContainsFunc(known, func(f *family) bool {
		return math.Abs(wrapped(f.angle-w.angle, math.Pi)) < 15*degree
	})
}

// describe names the ruling by its rows of lines.
func (r *Ruling) describe() {
	slices.SortStableFunc(r.families, func(a, b *family) int { return cmp.Compare(a.pitch, b.pitch) })
	f := r.families[0]
	r.PitchMM = f.pitch * float64(f.k) * f.mm
	dark, _ := f.isPrinted()
	r.DarkShare = dark / skeleton.Paper
	turned := func(deg float64) bool {
		return slices.ContainsFunc(r.families[1:], func(g *family) bool {
			return math.Abs(math.Abs(wrapped(f.angle-g.angle, math.Pi))-deg*degree) < 4*degree && g.pitch < 1.1*f.pitch
		})
	}
	switch {
	case len(r.families) == 1:
		r.Kind = "lined"
	case turned(90):
		r.Kind = "squared"
	case turned(60):
		r.Kind = "isometric"
	default:
		r.Kind = "ruled"
	}
}

// reduced returns the plane with k x k pixels taken together.
func reduced(p skeleton.Plane, k int) skeleton.Plane {
	if k == 1 {
		return p
	}
	out := skeleton.NewPlane(p.W/k, p.H/k)
	skeleton.Bands(out.H, func(y0, y1 int) {
		for y := y0; y < y1; y++ {
			for x := range out.W {
				sum := 0
				for j := range k {
					for _, g := range p.Pixels[(y*k+j)*p.W+x*k:][:k] {
						sum += int(g)
					}
				}
				out.Pixels[y*out.W+x] = uint8(sum / (k * k))
			}
		}
	})
	return out
}

// noiseOf returns the usual difference between neighbouring pixels of bare paper, as a
// standard deviation of a pixel.
func noiseOf(p skeleton.Plane) float64 {
	var count [256]int
	n := 0
	for y := 0; y < p.H; y += 7 {
		for x := 1; x < p.W; x += 5 {
			a, b := int(p.Pixels[y*p.W+x]), int(p.Pixels[y*p.W+x-1])
			count[max(a-b, b-a)]++
			n++
		}
	}
	left := n / 2
	for d, c := range count {
		if left < c {
			// The median of the difference of two normal values is 0.954 of
			// the deviation of one.
			return (float64(d) + float64(left)/float64(c)) / 0.954
		}
		left -= c
	}
	return 0
}
