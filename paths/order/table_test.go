package order

import (
	"flag"
	"regexp"
	"runtime"
	"testing"

	"weftplot/paths"
	"weftplot/paths/order/ordertest"
)

var (
	thorough = flag.Bool("thorough", false, "more and larger cases")
	table    = flag.String("table", "", "print ratio, user seconds and memory of the sets that this expression matches, such as uniform.*/normal")
)

// TestTable prints what the efforts are worth.
func TestTable(t *testing.T) {
	if *table == "" {
		t.Skip("-table names the sets")
	}
	want := regexp.MustCompile(*table)
	for _, s := range ordertest.Sets {
		for _, effort := range []Effort{Quick, Normal, Thorough} {
			if name := s.Name + "/" + effort.String(); want.MatchString(name) {
				strokes := s.Strokes(t)
				before := userSeconds()
				got, err := Order([][]paths.Stroke{strokes}, Options{Effort: effort})
				if err != nil {
					t.Fatal(err)
				}
				took := userSeconds() - before
				var m runtime.MemStats
				runtime.ReadMemStats(&m)

				t.Logf("%-24s %.4f of the best known, %.3f mm, %.1f user seconds, %d MB", name, got.TravelMM/s.Best, got.TravelMM, took, m.Sys>>20)
			}
		}
	}
}
