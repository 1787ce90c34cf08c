package skeleton

import "math/bits"

// The neighbours of a pixel are numbered from the one above, clockwise, as P2 to
// P9 of the published method; bit 0 of a set of them is P2.
func (p Plane) neighbours(i int) uint8 {
	v, w := p.Pixels, p.W
	return v[i-w] | v[i-w+1]<<1 | v[i+1]<<2 | v[i+w+1]<<3 | v[i+w]<<4 | v[i+w-1]<<5 | v[i-1]<<6 | v[i-w-1]<<7
}

// steps returns how far each neighbour of a pixel is from it in the picture.
func (p Plane) steps() [8]int {
	w := p.W
	return [8]int{-w, -w + 1, 1, w + 1, w, w - 1, -1, -w - 1}
}

// Neighbours of a pixel that share a side with it, as bits of a set.
const (
	north = 1 << 0
	east  = 1 << 2
	south = 1 << 4
	west  = 1 << 6
)

// Rule says for each set of neighbours whether a pixel with them is deleted in the
// first and in the second pass of thinning: bits 0 and 1.
type Rule [256]uint8

var (
	// zhangSuen is the rule as it was published. It erases slanting lines two
	// pixels wide, from their ends.
	zhangSuen = deletionRule(2)
	// LuWang is the rule of Zhang and Suen as Lü and Wang amended it, "A
	// comment on 'A fast parallel algorithm for thinning digital patterns'",
	// Communications of the ACM 29 (1986), so that slanting lines two pixels
	// wide stay.
	LuWang = deletionRule(3)
)

// deletionRule returns the rule that deletes pixels with least to six
// neighbours that form one connected group around the pixel.
func deletionRule(least int) *Rule {
	var table Rule
	for set := range table {
		if n := bits.OnesCount8(uint8(set)); n < least || n > 6 || rises(set) != 1 {
			continue
		}
		all := func(sides int) bool { return set&sides == sides }
		if !all(north|east|south) && !all(east|south|west) {
			table[set] |= 1
		}
		if !all(north|east|west) && !all(north|south|west) {
			table[set] |= 2
		}
	}
	return &table
}

// rises returns how often, once round a pixel, a neighbour that is not in the set
// is followed by one that is.
func rises(set int) int {
	n := 0
	for k := range 8 {
		if set>>k&1 == 0 && set>>((k+1)%8)&1 == 1 {
			n++
		}
	}
	return n
}

// Thin reduces a mask of 0 and 1 to lines about one pixel wide by the method of
// Zhang and Suen, "A fast parallel algorithm for thinning digital patterns",
// Communications of the ACM 27 (1984), by one of its rules. Its outermost
// pixels are cleared first. Only pixels at the edge of the ink are examined, so
// the cost is about the number of inked pixels, not of all pixels.
func Thin(mask Plane, rule *Rule) {
	mask.clearSides()
	step := mask.steps()
	listed := make([]uint8, len(mask.Pixels))
	var edge []int32
	for i, v := range mask.Pixels {
		if v != 0 && mask.neighbours(i) != 255 {
			edge, listed[i] = append(edge, int32(i)), 1
		}
	}
	var gone []int32
	for idle, pass := 0, uint8(1); idle < 2; pass = 3 - pass {
		gone = gone[:0]
		for _, i := range edge {
			if rule[mask.neighbours(int(i))]&pass != 0 {
				gone = append(gone, i)
			}
		}
		idle++
		for _, i := range gone {
			mask.Pixels[i] = 0
			idle = 0
		}
		kept := edge[:0]
		for _, i := range edge {
			if mask.Pixels[i] != 0 {
				kept = append(kept, i)
			}
		}
		edge = kept
		for _, i := range gone {
			for _, s := range step {
				if j := int(i) + s; mask.Pixels[j] != 0 && listed[j] == 0 {
					edge, listed[j] = append(edge, int32(j)), 1
				}
			}
		}
	}
}

func (p Plane) clearSides() {
	for x := range p.W {
		p.Pixels[x], p.Pixels[(p.H-1)*p.W+x] = 0, 0
	}
	for y := range p.H {
		p.Pixels[y*p.W], p.Pixels[y*p.W+p.W-1] = 0, 0
	}
}

// redundant says for each set of neighbours whether a pixel with them can go
// without breaking its line: it only fills a corner between one neighbour above or
// below and one at a side, and its neighbours stay connected without it, across
// corners too.
var redundant = func() (table [256]bool) {
	for set := range table {
		bit := func(k int) bool { return set>>((k+8)%8)&1 == 1 }
		corner := false
		for k := 0; k < 8; k += 2 {
			corner = corner || bit(k) && bit(k+2) && !bit(k+4) && !bit(k+6) && !bit(k+5)
		}
		table[set] = corner && groups(set) == 1
	}
	return table
}()

// groups returns how many groups the neighbours in a set form that do not touch
// each other, even across corners.
func groups(set int) int {
	bit := func(k int) bool { return set>>(k%8)&1 == 1 }
	n := 0
	for k := range 8 {
		if !bit(k) {
			continue
		}
		// A group begins at a neighbour that does not touch one before it: the
		// last, or for those above, below and beside also the one before that.
		if !bit(k+7) && (k%2 == 1 || !bit(k+6)) {
			n++
		}
	}
	if n == 0 && set != 0 {
		return 1
	}
	return n
}

// UnitWidth removes pixels from thinned lines that only fill corners, so that
// each pixel inside a line has two neighbours.
func UnitWidth(mask Plane) {
	for i, v := range mask.Pixels {
		if v != 0 && redundant[mask.neighbours(i)] {
			mask.Pixels[i] = 0
		}
	}
}

// Nodes counts the pixels of thinned lines that are ends or lie at junctions. The
// outermost pixels of the mask must be clear.
func (p Plane) Nodes() int {
	n := 0
	for i, v := range p.Pixels {
		if v != 0 && bits.OnesCount8(p.neighbours(i)) != 2 {
			n++
		}
	}
	return n
}
