package hpgl

// The two bases of encoded polylines, PCL 5, 20-36: a number is doubled, its
// sign put in the lowest bit, and written by its digits, the lowest first. The
// last digit comes from a range of its own, so that numbers need no commas.
type base struct {
	size  uint64
	low   byte // code of the digit 0 where more follow
	final byte // code of the digit 0 that ends a number
}

var (
	base64 = base{64, 63, 191} // for lines of eight bits
	base32 = base{32, 63, 95}  // for lines of seven
)

// encode appends v.
func encode(b []byte, v int64, base base) []byte {
	n := uint64(v) << 1
	if v < 0 {
		n = uint64(-v)<<1 | 1
	}
	for ; n >= base.size; n /= base.size {
		b = append(b, base.low+byte(n%base.size))
	}
	return append(b, base.final+byte(n))
}

func encodePair(x, y int64, base base) string {
	return string(encode(encode(nil, x, base), y, base))
}

// digit returns the value of a code and whether it ends the number; ok is false
// for what is no digit.
func (b base) digit(c byte) (v uint64, final, ok bool) {
	switch n := uint64(c); {
	case n >= uint64(b.final) && n < uint64(b.final)+b.size:
		return n - uint64(b.final), true, true
	case n >= uint64(b.low) && n < uint64(b.low)+b.size:
		return n - uint64(b.low), false, true
	}
	return 0, false, false
}

// signed undoes the doubling.
func signed(n uint64) int64 {
	if n&1 == 1 {
		return -int64(n >> 1)
	}
	return int64(n >> 1)
}
