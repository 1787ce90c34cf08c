package gcode

import (
	"math"
	"testing"
)

// TestExpressions: the examples of NISTIR 6556, 3.3.2.2 to 3.3.2.4 (from memory),
// and values that can be worked out by hand.
func TestExpressions(t *testing.T) {
	vars := parameters{3: 2, 2: 3, 1: 7}
	for text, want := range map[string]float64{
		"[1+acos[0]-[#3**[4.0/2]]]":         1 + 90 - 4,
		"[2.0 / 3 * 1.5 - 5.5 / 11.0]":      0.5,
		"[2 + 3 * 4 - 1]":                   13,
		"[2 ** 3 ** 2]":                     64,
		"[2*[3+4]]":                         14,
		"[15 MOD 4.0]":                      3,
		"[-15 mod 4]":                       1,
		"##2":                               2,
		"#[1+1]":                            3,
		"atan[1]/[-1]":                      135,
		"sin[30]":                           0.5,
		"COS [ 60 ]":                        0.5,
		"tan[45]":                           1,
		"asin[1]":                           90,
		"fix[2.8]":                          2,
		"fix[-2.8]":                         -3,
		"fup[2.8]":                          3,
		"fup[-2.8]":                         -2,
		"round[2.5]":                        3,
		"abs[-4]":                           4,
		"sqrt[3*3+16]":                      5,
		"ln[exp[2]]":                        2,
		"[1 and 0]":                         0,
		"[1 or 0]":                          1,
		"[1 xor 5]":                         0,
		"[1-2-3]":                           -4,
		"[8/4/2]":                           1,
		"+0. 12 34":                         0.1234,
		"[#1 - -3]":                         10,
		"[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]": 1,
	} {
		got, n, err := vars.value(text, new(bool))
		if err != nil || math.Abs(got-want) > 1e-12 || n != len(text) {
			t.Errorf("value(%q) = %v after %d bytes, %v; want %v", text, got, n, err, want)
		}
	}
	for _, text := range []string{"", "[", "[1", "[1+]", "]", "#", "#0", "#5400", "#1.5", "foo[1]", "sin 30", "atan[1]", "acos[2]", "ln[0]", "[1e9]", "[10**10]", "[0/0]", "[1 mod 0]", "-[1]"} {
		if v, _, err := vars.value(text, new(bool)); err == nil {
			t.Errorf("value(%q) = %v, want an error", text, v)
		}
	}
}

// TestParametersAreSetLast: on the line "#3=6 G1 X#3" the old value counts, and
// the new one from then on: NISTIR 6556, 3.3.2.2.
func TestParametersAreSetLast(t *testing.T) {
	p := read(t, "#3=15\n#3=6 G0 X#3\nG0 Y#3\nM2")
	if got := summary(p); got != "T15,0 T15,6" {
		t.Errorf("it goes %s", got)
	}
}
