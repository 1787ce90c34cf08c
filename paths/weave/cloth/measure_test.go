package cloth

import (
	"math"
	"strings"
	"testing"

	"weftplot/paths/weave"
)

// One thread in 12 (an inch) is 8.3 %, one in 48 (10 cm of monk's cloth) 2.1 %:
// arithmetic.
func TestMeasure(t *testing.T) {
	m, err := Measure(Counted{48, 100}, Counted{13, 25.4}, 600, 900)
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Count.Across * 100; math.Abs(got-48) > 1e-9 {
		t.Errorf("count across = %g over 10 cm, want 48", got)
	}
	a, l := m.Ways[weave.Across], m.Ways[weave.Along]
	if math.Abs(a.Doubt-0.0208333) > 1e-6 || math.Abs(a.Drift-12.5) > 1e-9 || math.Abs(a.DriftChannels-6) > 1e-9 || !a.Enough {
		t.Errorf("across %+v", a)
	}
	if math.Abs(l.Doubt-1./13) > 1e-9 || math.Abs(l.Drift-900./13) > 1e-9 || l.Enough || l.Least != 100 {
		t.Errorf("along %+v", l)
	}
}

// The lengths are those of ISO 7211-2, from memory.
func TestLeastLength(t *testing.T) {
	for _, c := range []struct{ perCM, want float64 }{{4.72, 100}, {9.99, 100}, {10, 50}, {25, 50}, {30, 30}, {41, 20}} {
		if got := leastLength(c.perCM); got != c.want {
			t.Errorf("%g a cm is counted over %g mm, want %g", c.perCM, got, c.want)
		}
	}
}

func TestMeasureRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][2]Counted{
		{{0, 100}, {48, 100}}, {{48, 100}, {-1, 100}}, {{48, 0}, {48, 100}}, {{nan, 100}, {48, 100}},
		{{48, nan}, {48, 100}}, {{4800, 100}, {48, 100}}, {{48, 100}, {1, 1000}}, {{math.Inf(1), 100}, {48, 100}},
	} {
		if _, err := Measure(c[0], c[1], 600, 900); err == nil {
			t.Errorf("Measure(%v) is not refused", c)
		}
	}
	if _, err := Measure(Counted{48, 100}, Counted{48, 100}, nan, 900); err == nil {
		t.Error("a rug without a size is not refused")
	}
}

// Without a size of the rug nothing is said of its far edge: one thread in 48 is 20.8 mm in
// a metre, by arithmetic.
func TestMeasureWithoutASize(t *testing.T) {
	m, err := Measure(Counted{48, 100}, Counted{48, 100}, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range m.Words[1:] {
		if strings.Contains(w, "far edge") || !strings.Contains(w, "21 mm in each metre") {
			t.Errorf("it says %q", w)
		}
	}
}
