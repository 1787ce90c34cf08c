package web

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
)

// lineKey says about where a line runs: its angle and how far it passes a point.
type lineKey struct{ angle, offset int64 }

// slots returns how many bits of a hash tell the keys of n lines apart, but for some.
func slots(n int) (bits int) {
	for bits = 3; 1<<bits < 2*n; bits++ {
	}
	return bits
}

// slot returns so many bits of a hash of a key.
func (k lineKey) slot(bits int) int {
	const a, b = 0x9e3779b97f4a7c15, 0xc2b2ae3d27d4eb4f // odd numbers without a pattern
	h := uint64(k.angle) * a
	return int((h ^ h>>32 ^ uint64(k.offset)) * b >> (64 - bits))
}

// crowds returns the lines by the keys that keyOf gives them and their direction, upward, the
// keys in the order of the first line of each. Lines whose key surely fewer than so many have
// are among the others, as are those without length: nearly all lines of most drawings, for
// which a few bits of the key are enough.
func crowds(lines []paths.Line, least int, keyOf func(l paths.Line, upward paths.Point) lineKey) (keys []lineKey, sets map[lineKey][]int, others []int) {
	all, bits := make([]lineKey, len(lines)), slots(len(lines))
	slot := make([]int32, len(lines)) // -1 for a line without length
	cores.Ranges(len(lines), func(lo, hi int) {
		for i := lo; i < hi; i++ {
			if slot[i] = -1; lines[i].A != lines[i].B {
				all[i] = keyOf(lines[i], upward(lines[i]))
				slot[i] = int32(all[i].slot(bits))
			}
		}
	})
	many := make([]uint8, 1<<bits) // lines, up to 255
	for _, k := range slot {
		if k >= 0 && many[k] < math.MaxUint8 {
			many[k]++
		}
	}
	sets = map[lineKey][]int{}
	for i, k := range all {
		if slot[i] < 0 || int(many[slot[i]]) < min(least, math.MaxUint8) {
			others = append(others, i)
			continue
		}
		if sets[k] == nil {
			keys = append(keys, k)
		}
		sets[k] = append(sets[k], i)
	}
	return keys, sets, others
}
