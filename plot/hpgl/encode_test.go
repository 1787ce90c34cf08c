package hpgl

import (
	"testing"

	"pgregory.net/rapid"
)

// TestEncodePublished: the worked example of PCL 5, 20-37 to 20-40, codes
// 10525 (its step before, from 82.83 to 10525, has a slip in the book; from
// there on it is right). The other values follow from the rule on 20-36, by
// hand.
func TestEncodePublished(t *testing.T) {
	for _, c := range []struct {
		v      int64
		in64   []byte
		in32   string
		source string
	}{
		{10525, []byte{121, 71, 196}, "YPs", "PCL 5, 20-40"},
		{-10525, []byte{122, 71, 196}, "ZPs", "rule"},
		{10602, []byte{83, 74, 196}, "SUs", "rule: 82.83 with 7 bits"},
		{0, []byte{191}, "_", "rule"}, {1, []byte{193}, "a", "rule"}, {-1, []byte{194}, "b", "rule"},
		{15, []byte{221}, "}", "rule"}, {16, []byte{223}, "?`", "rule"},
		{31, []byte{253}, "]`", "rule"}, {32, []byte{63, 192}, "?a", "rule"},
		{100, []byte{71, 194}, "Ge", "rule"}, {-100, []byte{72, 194}, "He", "rule"},
		{1000, []byte{79, 222}, "O]`", "rule"},
	} {
		if got := encode(nil, c.v, base64); string(got) != string(c.in64) {
			t.Errorf("%d in base 64 = %v, want %v (%s)", c.v, got, c.in64, c.source)
		}
		if got := encode(nil, c.v, base32); string(got) != c.in32 {
			t.Errorf("%d in base 32 = %q, want %q (%s)", c.v, got, c.in32, c.source)
		}
	}
}

func TestEncodeThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Int64Range(-1<<40, 1<<40).Draw(t, "v")
		for _, b := range []base{base32, base64} {
			var n uint64
			codes := encode(nil, v, b)
			place := uint64(1)
			for i, c := range codes {
				d, final, ok := b.digit(c)
				if !ok || final != (i == len(codes)-1) {
					t.Fatalf("code %d of %v is wrong", i, codes)
				}
				n += d * place
				place *= b.size
			}
			if signed(n) != v {
				t.Errorf("%d comes back as %d", v, signed(n))
			}
		}
	})
}
