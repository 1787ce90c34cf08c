package svg

import (
	"strings"
	"testing"
)

type pathTest struct{ name, d, want string }

func (tt pathTest) check(t *testing.T, damaged bool) {
	d := read(t, inPage(`<path fill="none" stroke="#000" d="`+tt.d+`"/>`))
	if got := shown(d); got != tt.want {
		t.Errorf("d=%q draws\n%s, want\n%s", tt.d, got, tt.want)
	}
	if has := strings.Contains(codes(d), "shape-damaged"); has != damaged {
		t.Errorf("d=%q: noted as damaged: %v, want %v", tt.d, has, damaged)
	}
}

// Values without a source beside them follow from the grammar and the rules of
// SVG 2, chapter Paths.
func TestPathData(t *testing.T) {
	for _, tt := range []pathTest{
		{"lines", "M10 20 L30 40 50 60", "10,20 30,40 50,60"},
		{"relative", "m10 20 l5 5 5-5", "10,20 15,25 20,20"},
		{"implicit line after move", "M10 20 30 40", "10,20 30,40"},
		{"implicit relative line after move", "m10 20 1 2 3 4", "10,20 11,22 14,26"},
		{"horizontal and vertical", "M1 2H5 7V9 11h1v-1", "1,2 5,2 7,2 7,9 7,11 8,11 8,10"},
		{"closed", "M0 0H10V10Z", "0,0 10,0 10,10 0,0"},
		{"after a close, from its start", "M5 5h2v2z l-1 -1", "5,5 7,5 7,7 5,5 | 5,5 4,4"},
		{"relative move after a close", "M5 5h2v2z m1 1 h1", "5,5 7,5 7,7 5,5 | 6,6 7,6"},
		{"each move a stroke", "M0 0h1M5 5h1", "0,0 1,0 | 5,5 6,5"},
		{"cubic", "M0 0C1 2 3 4 5 6", "0,0 C 1,2 3,4 5,6"},
		{"smooth cubic", "M0 0C1 2 3 4 5 6S9 9 10 10", "0,0 C 1,2 3,4 5,6 C 7,8 9,9 10,10"},
		{"smooth cubic after a line", "M0 0L5 6S9 9 10 10", "0,0 5,6 C 5,6 9,9 10,10"},
		{"quadratic", "M0 0Q3 6 9 0", "0,0 C 2,4 5,4 9,0"},
		{"smooth quadratic", "M0 0Q3 6 6 0T12 0", "0,0 C 2,4 4,4 6,0 C 8,-4 10,-4 12,0"},
		{"smooth quadratics in a row", "M0 0T6 6 9 9", "0,0 C 0,0 2,2 6,6 C 10,10 11,11 9,9"},
		{"relative curves", "m1 1c1 2 3 4 5 6q3 6 9 0", "1,1 C 2,3 4,5 6,7 C 8,11 11,11 15,7"},
		{"numbers glued by sign and point", "M.5.5-1.5.25L+1-1", "0.5,0.5 -1.5,0.25 1,-1"},
		{"exponents", "M1e1 2E0L1.5e+1 .5e1", "10,2 15,5"},
		{"commas and line ends", "M\n1,2\t,3 , 4", "1,2 3,4"},
		{"glued arc flags", "M0 0a5 5 0 0110 0", "0,0 A 5,0 5 180 10,0"},
		// Half the chord is 0.353553, so the sweep is 2·asin(0.353553/5) = 8.10961
		// degrees (elementary geometry).
		{"glued arc flags and numbers", "M0 0a5 5 0 01.5.5", "0,0 A -3.27668,3.77668 5 8.10961 0.5,0.5"},

		// SVG 2, Implementation notes, out-of-range radii.
		{"radii too small", "M0 0 A1 1 0 0 1 10 0", "0,0 A 5,0 5 180 10,0"},
		{"radius zero", "M0 0 A0 5 0 0 1 10 0", "0,0 10,0"},
		{"radius negative", "M0 0 A-5 -5 0 0 1 10 0", "0,0 A 5,0 5 180 10,0"},
		{"arc to itself", "M3 4 A5 5 0 0 1 3 4 H9", "3,4 9,4"},
		// The chord equals the radius: the two form an equilateral triangle, so
		// the centre is 4·√3/2 = 3.46410 from it (elementary geometry).
		{"chord equals radius, large", "M0 0A4 4 0 1 1 4 0", "0,0 A 2,-3.4641 4 300 4,0"},
		{"chord equals radius, small", "M0 0A4 4 0 0 1 4 0", "0,0 A 2,3.4641 4 60 4,0"},
		{"chord equals radius, large, other way", "M0 0A4 4 0 1 0 4 0", "0,0 A 2,3.4641 4 -300 4,0"},
		{"circle of two halves", "M0 5A5 5 0 1 1 10 5 5 5 0 1 1 0 5z", "0,5 A 5,5 5 180 10,5 A 5,5 5 180 0,5"},

		// SVG 2, Painting, line caps: a zero-length subpath shows as its caps.
		{"dot", "M5 5h0", "5,5 5,5"},
		{"dot by a close", "M5 5z", "5,5 5,5"},
		{"nothing after a move", "M5 5 M6 6h1", "6,6 7,6"},
		{"no length within a stroke", "M5 5h0h2v0", "5,5 7,5"},
	} {
		t.Run(tt.name, func(t *testing.T) { tt.check(t, false) })
	}
}

// SVG 2, Paths, error handling.
func TestDamagedPathData(t *testing.T) {
	for _, tt := range []pathTest{
		{"error within a command", "M 10,10 L 20,20,30", "10,10 20,20"},
		{"error at a command", "M0 0 H9 X 3", "0,0 9,0"},
		{"error in the last set of an arc", "M0 0 H9 A5 5 0 2 1 3 3", "0,0 9,0"},
		{"unfinished number", "M0 0 L5 5 L 7 .", "0,0 5,5"},
		{"comma before a command", "M0 0 L5 5, H9", "0,0 5,5"},
		{"not a command", "M0 0 L5 5 \u20ac", "0,0 5,5"},
		{"number after a close", "M0 0 L5 5 Z 3 3", "0,0 5,5 0,0"},
	} {
		t.Run(tt.name, func(t *testing.T) { tt.check(t, true) })
	}
}
