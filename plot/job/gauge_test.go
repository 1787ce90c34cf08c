package job

import (
	"math"
	"testing"

	"weftplot/paths/weave"
)

// The room of a row of loops may be said in rows of holes, in loops a length or as a
// length.
func TestGauge(t *testing.T) {
	g := weave.Grid{Across: 2, Along: 2.5}
	for text, want := range map[string][2]float64{
		"": {4, 5}, "2rows": {4, 5}, "1 row": {2, 2.5}, "1.5rows": {3, 3.75}, "4mm": {4, 4},
		"6/in": {25.4 / 6, 25.4 / 6}, "5/2in": {10.16, 10.16}, "2/cm": {5, 5}, "20/10cm": {5, 5},
	} {
		got, err := Settings{Gauge: text}.GaugeOn(g)
		if err != nil || math.Abs(got.Across-want[0]) > 1e-9 || math.Abs(got.Along-want[1]) > 1e-9 {
			t.Errorf("%q: %v, %v, want %v", text, got, err, want)
		}
		if (Settings{Gauge: text}).GaugeWords(g) == "" {
			t.Errorf("%q: no words", text)
		}
	}
	for _, text := range []string{"2", "rows", "-1rows", "100rows", "0mm", "9in", "6/", "/in", "0/in", "six"} {
		if _, err := (Settings{Gauge: text}).GaugeOn(g); err == nil {
			t.Errorf("%q is taken", text)
		}
		if (Settings{Gauge: text}).Validate() == nil {
			t.Errorf("%q is valid", text)
		}
	}
}
