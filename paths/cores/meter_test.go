package cores_test

import (
	"context"
	"testing"

	"weftplot/paths/cores"
)

// A meter tells rising numbers, not too often, and the whole at last.
func TestMeter(t *testing.T) {
	var told []int
	m := cores.NewMeter(100_000, func(done, total int) {
		if total != 100_000 {
			t.Errorf("the total is %d", total)
		}
		told = append(told, done)
	})
	if err := cores.Each(context.Background(), 100_000, func(int) error { m.Add(1); return nil }); err != nil {
		t.Fatal(err)
	}
	m.Add(5)
	m.To(0.5)
	if n := len(told); n < 100 || n > 1000 || told[n-1] != 100_000 {
		t.Fatalf("it told %d times, %d at last", n, told[n-1])
	}
	for i := 1; i < len(told); i++ {
		if told[i] <= told[i-1] {
			t.Fatalf("%d follows %d", told[i], told[i-1])
		}
	}
	var silent *cores.Meter
	silent.Add(1)
	silent.To(1)
	if cores.NewMeter(3, nil) != nil || cores.NewMeter(0, func(int, int) {}) != nil {
		t.Error("a meter that has nobody to tell is no nil")
	}
}
