package tint

import (
	"math"
	"slices"
)

// Ink without colour is black where it takes blackFrom of the light, and grey where it
// takes less. Two such inks on one page are told apart where the one absorbs twice as
// much as the other, and little lies between them.
const (
	blackFrom = 0.7
	twice     = 1.7
	between2  = 0.12 // how far to each side of the boundary is between, as a natural logarithm
	mostThere = 0.06 // of all, may lie there
	leastPart = 0.03 // of all, is of each
	// softMM is over how long a piece absorption is averaged: paper's tooth changes it
	// from place to place.
	softMM = 2.
)

// soften averages the absorption along a stroke where its ink has no colour.
func (l *looked) soften() {
	reach := max(1, int(softMM/2/max(l.every, 0.01)))
	out := make([]float64, len(l.absorb))
	for i := range out {
		var sum, n float64
		for k := max(0, i-reach); k <= min(len(out)-1, i+reach); k++ {
			if l.tints[k] == Plain {
				sum, n = sum+l.absorb[k], n+1
			}
		}
		out[i] = sum / max(1, n)
	}
	l.absorb = out
}

// shades are the inks without colour: from dark on they are black. Where the page has
// one such ink, dark is 0 or infinite.
type shades struct{ dark float64 }

func (s shades) name(absorb float64) string {
	if absorb >= s.dark {
		return "black"
	}
	return "grey"
}

// shadesOf finds the plain inks of a page. The boundary of two is where the variance
// within both is least (Otsu, "A threshold selection method from gray-level
// histograms", IEEE Transactions on Systems, Man, and Cybernetics 9 (1979)).
func shadesOf(looks []looked) shades {
	var list []float64 // logarithms of absorption, a step of which counts as a ratio
	for _, l := range looks {
		for i, t := range l.tints {
			if t == Plain && l.absorb[i] > 0.01 {
				list = append(list, math.Log(l.absorb[i]))
			}
		}
	}
	if len(list) == 0 {
		return shades{}
	}
	slices.Sort(list)
	n := len(list)
	one := shades{}
	if list[n/2] < math.Log(-math.Log(1-blackFrom)) {
		one.dark = math.Inf(1)
	}
	var all float64
	for _, v := range list {
		all += v
	}
	best, most, below := 0, 0.0, 0.0
	for k := 1; k < n; k++ {
		below += list[k-1]
		a, b := below/float64(k), (all-below)/float64(n-k)
		if v := float64(k) * float64(n-k) * (b - a) * (b - a); v > most {
			best, most = k, v
		}
	}
	if best == 0 || min(best, n-best) < int(leastPart*float64(n)) || list[best+(n-best)/2]-list[best/2] < math.Log(twice) {
		return one
	}
	// In the middle of the two inks, which may be more and less of the page.
	at := (list[best/2] + list[best+(n-best)/2]) / 2
	low, _ := slices.BinarySearch(list, at-between2)
	high, _ := slices.BinarySearch(list, at+between2)
	if float64(high-low) > mostThere*float64(n) {
		return one
	}
	return shades{math.Exp(at)}
}
