package scan

// The neighbours of a pixel are numbered from the one above, clockwise, as P2 to
// P9 of the published method; bit 0 of a set of them is P2.
func (p plane) neighbours(i int) uint8 {
	v, w := p.v, p.w
	return v[i-w] | v[i-w+1]<<1 | v[i+1]<<2 | v[i+w+1]<<3 | v[i+w]<<4 | v[i+w-1]<<5 | v[i-1]<<6 | v[i-w-1]<<7
}

// steps returns how far each neighbour of a pixel is from it in the picture.
func (p plane) steps() [8]int {
	w := p.w
	return [8]int{-w, -w + 1, 1, w + 1, w, w - 1, -1, -w - 1}
}

// goes tells for each set of neighbours whether a pixel with them goes in the
// first and in the second pass: bits 0 and 1. Of the neighbours at least so many
// must be set.
type goes [256]uint8

var (
	// zhangSuen is the rule as it was published. It wears away slanting lines two
	// pixels wide from their ends on.
	zhangSuen = goesFrom(2)
	// luWang is that rule as Lü and Wang amended it, "A comment on 'A fast parallel
	// algorithm for thinning digital patterns'", Communications of the ACM 29
	// (1986): such lines stay.
	luWang = goesFrom(3)
)

func goesFrom(least int) *goes {
	var table goes
	for set := range table {
		bit := func(k int) bool { return set>>((k+8)%8)&1 == 1 } // k is 0 for P2
		b, a := 0, 0
		for k := range 8 {
			if bit(k) {
				b++
			}
			if !bit(k) && bit(k+1-8) {
				a++
			}
		}
		if b < least || b > 6 || a != 1 {
			continue
		}
		north, east, south, west := bit(0), bit(2), bit(4), bit(6)
		if !(north && east && south) && !(east && south && west) {
			table[set] |= 1
		}
		if !(north && east && west) && !(north && south && west) {
			table[set] |= 2
		}
	}
	return &table
}

// thin reduces a mask of 0 and 1 to lines about one pixel wide by the method of
// Zhang and Suen, "A fast parallel algorithm for thinning digital patterns",
// Communications of the ACM 27 (1984), by one of its rules. Its outermost pixels
// are cleared first. Only pixels at the edge of the ink are looked at, so the cost
// is about the number of pixels that are inked, not of all.
func thin(mask plane, rule *goes) {
	mask.clearSides()
	step := mask.steps()
	listed := make([]uint8, len(mask.v))
	var edge []int32
	for i, v := range mask.v {
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
			mask.v[i] = 0
			idle = 0
		}
		kept := edge[:0]
		for _, i := range edge {
			if mask.v[i] != 0 {
				kept = append(kept, i)
			}
		}
		edge = kept
		for _, i := range gone {
			for _, s := range step {
				if j := int(i) + s; mask.v[j] != 0 && listed[j] == 0 {
					edge, listed[j] = append(edge, int32(j)), 1
				}
			}
		}
	}
}

func (p plane) clearSides() {
	for x := range p.w {
		p.v[x], p.v[(p.h-1)*p.w+x] = 0, 0
	}
	for y := range p.h {
		p.v[y*p.w], p.v[y*p.w+p.w-1] = 0, 0
	}
}

// spare tells for each set of neighbours whether a pixel with them only fills a
// corner that its neighbours turn without it: those that are set still hang
// together, across corners too, and there are two of them at least, of which two
// lie above or below and to a side.
var spare = func() (table [256]bool) {
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

// unitWidth takes pixels out of thinned lines that only fill corners, so that
// each pixel inside a line has two neighbours.
func unitWidth(mask plane) {
	for i, v := range mask.v {
		if v != 0 && spare[mask.neighbours(i)] {
			mask.v[i] = 0
		}
	}
}
