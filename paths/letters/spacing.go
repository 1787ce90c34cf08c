package letters

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
)

// bands is the number of bands in a row.
const bands = 4

// profile is how far a letter reaches left and right in each band, in channels
// from its left edge. A band that it does not touch holds +Inf and -Inf.
type profile struct {
	first       int // the lowest band; band 0 begins at the base line
	left, right []float64
	min, max    float64 // over all bands
}

// profileOf measures strokes in bands of a quarter row.
func profileOf(strokes []paths.Stroke, g weave.Grid) profile {
	box := paths.BoundsOf(strokes)
	band := func(y float64) int { return int(math.Floor(y/g.Along*bands + 1e-6)) }
	p := profile{min: box.Min.X / g.Across, max: box.Max.X / g.Across}
	if box.IsEmpty() {
		return profile{}
	}
	p.first = band(box.Min.Y)
	n := band(box.Max.Y) - p.first + 1
	p.left, p.right = make([]float64, n), make([]float64, n)
	for i := range n {
		p.left[i], p.right[i] = math.Inf(1), math.Inf(-1)
	}
	for _, s := range strokes {
		pts := s.Flatten(g.Along / 50)
		for i := range pts {
			a, b := pts[max(0, i-1)], pts[i]
			if a.Y > b.Y {
				a, b = b, a
			}
			for k := band(a.Y); k <= band(b.Y); k++ {
				lo := max(a.Y, float64(k)*g.Along/bands)
				hi := min(b.Y, float64(k+1)*g.Along/bands)
				p.include(k-p.first, xAt(a, b, lo)/g.Across)
				p.include(k-p.first, xAt(a, b, hi)/g.Across)
			}
		}
	}
	return p
}

func xAt(a, b paths.Point, y float64) float64 {
	if b.Y-a.Y < 1e-9 {
		return b.X
	}
	return a.X + (b.X-a.X)*min(1, max(0, (y-a.Y)/(b.Y-a.Y)))
}

func (p *profile) include(i int, x float64) {
	p.left[i] = min(p.left[i], x)
	p.right[i] = max(p.right[i], x)
}

// at returns the reach of band k.
func (p profile) at(k int) (left, right float64) {
	if i := k - p.first; i >= 0 && i < len(p.left) {
		return p.left[i], p.right[i]
	}
	return math.Inf(1), math.Inf(-1)
}

// spacing holds the distances in a text of one height, in channels.
type spacing struct {
	stems int // between two stems
	least int // between any two strokes of two letters
	word  int // what a space adds
	depth float64
}

func (c scale) spacing() spacing {
	channels := func(share float64) float64 { return share * float64(c.height) * c.grid.Along / c.grid.Across }
	stems := max(2, int(math.Round(channels(0.34))))
	return spacing{
		stems: stems,
		least: max(2, int(math.Ceil(0.6*float64(stems)))),
		word:  max(3, int(math.Round(channels(0.42)))),
		depth: channels(0.13),
	}
}

// between returns how many channels lie between the left edges of two
// neighbours a and b, when they are put extra channels farther apart than
// usual.
//
// In each band that both occupy, the white is the distance between them, where
// the recess of either behind its outermost point counts only up to the depth.
// The mean white is brought as near to that between two stems as whole channels
// allow. No two strokes come nearer than least.
func (s spacing) between(a, b profile, extra int) int {
	sum, n := 0., 0
	lo, hi := max(a.first, b.first), min(a.first+len(a.left), b.first+len(b.left))
	for k := lo; k < hi; k++ {
		_, right := a.at(k)
		left, _ := b.at(k)
		sum += min(s.depth, a.max-right) + min(s.depth, left-b.min)
		n++
	}
	recess := 1.2 * s.depth // letters that share no row, such as a full stop and a quote
	if n > 0 {
		recess = sum / float64(n)
	}
	want := a.max - b.min + float64(s.stems+extra) - recess
	return max(int(math.Round(want)), s.clear(a, b))
}

// clear returns the fewest channels between the left edges of a and b at which
// no stroke of a is nearer than least to a stroke of b, compared in rows at
// most one apart.
func (s spacing) clear(a, b profile) int {
	need := math.Inf(-1)
	for k := a.first; k < a.first+len(a.right); k++ {
		_, right := a.at(k)
		for near := k - bands; near <= k+bands; near++ {
			left, _ := b.at(near)
			need = max(need, right-left+float64(s.least))
		}
	}
	if math.IsInf(need, 0) {
		return int(math.Ceil(a.max - b.min))
	}
	return int(math.Ceil(need - 1e-6))
}
