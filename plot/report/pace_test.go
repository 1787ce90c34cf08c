package report

import (
	"context"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/job/jobtest"
)

// wavy is a line of waves that get tighter: many short arcs.
func wavy(n int) paths.Design {
	pts := make([]paths.Point, 40*n)
	for i := range pts {
		t := float64(i) / 40
		pts[i] = paths.Point{X: 200 * math.Sqrt(t/float64(n)), Y: 50 + 8*math.Sin(2*math.Pi*t)}
	}
	return jobtest.DesignOf([]paths.Stroke{paths.Polyline(pts...)})
}

// slowLine returns the warning of a line that does not keep up, "" for none.
func slowLine(t *testing.T, baud int, tolerance paths.Length, n int) string {
	t.Helper()
	s := job.Defaults()
	s.NoSnap, s.Tolerance, s.Effort = true, tolerance, "quick"
	in := jobtest.Inputs(t, wavy(n), s)
	in.Machine.Serial.Baud = baud
	j, err := plot.Make(context.Background(), in, s, plot.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range Of(j, Options{}).Warnings {
		if w.Code == "slow-line" {
			if !strings.Contains(string(Sheet(j, Of(j, Options{}), Options{})), "LOOK AT") || len(Of(j, Options{}).Warnings) == 0 {
				t.Error("neither the sheet nor the report says so")
			}
			return w.Message
		}
	}
	return ""
}

// What prepare says would do against a slow line does, and a lesser one does
// not.
func TestSlowLine(t *testing.T) {
	bauds, tols := 0, 0
	for _, baud := range []int{300, 1200, 2400, 115200} {
		said := slowLine(t, baud, 0.05, 40)
		t.Logf("%d baud: %s", baud, said)
		if (said == "") != (baud == 115200) {
			t.Errorf("%d baud: %q", baud, said)
		}
		if m := regexp.MustCompile(`(\d+) baud would do`).FindStringSubmatch(said); m != nil {
			bauds++
			b, _ := strconv.Atoi(m[1])
			if again := slowLine(t, b, 0.05, 40); again != "" {
				t.Errorf("at the %d baud advised: %s", b, again)
			}
			if again := slowLine(t, b/2, 0.05, 40); again == "" {
				t.Errorf("%d baud would have done", b/2)
			}
		}
		if m := regexp.MustCompile(`a tolerance of (\S+)mm`).FindStringSubmatch(said); m != nil {
			tols++
			tol, err := paths.ParseLength(m[1] + "mm")
			if err != nil {
				t.Fatal(err)
			}
			if again := slowLine(t, baud, tol, 40); again != "" {
				t.Errorf("with the tolerance advised: %s", again)
			}
			if i := slices.Index(tolerances, tol); i > 0 && slowLine(t, baud, tolerances[i-1], 40) == "" {
				t.Errorf("%d baud: a tolerance of %v would have done", baud, tolerances[i-1])
			}
		}
	}
	if bauds == 0 || tols == 0 {
		t.Errorf("%d baud rates and %d tolerances were advised: not all is tested", bauds, tols)
	}
}
