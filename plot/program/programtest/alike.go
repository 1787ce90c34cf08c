package programtest

import (
	"fmt"
	"math"

	"weftplot/paths"
)

// Alike returns how two lists of strokes differ by more than tol, "" if they do
// not: in their number, the ends, the extent or the length of one. A stroke may
// be cut into other curves.
func Alike(a, b []paths.Stroke, tol float64) string {
	if len(a) != len(b) {
		return fmt.Sprintf("%d strokes and %d", len(a), len(b))
	}
	for i := range a {
		s, q := a[i], b[i]
		if d := max(s.Start().Dist(q.Start()), s.End().Dist(q.End())); d > tol {
			return fmt.Sprintf("the ends of stroke %d are %v mm apart: %v and %v", i+1, d, s, q)
		}
		x, y := s.Bounds(), q.Bounds()
		if d := max(x.Min.Dist(y.Min), x.Max.Dist(y.Max)); d > 2*tol {
			return fmt.Sprintf("the extents of stroke %d are %v mm apart: %v and %v", i+1, d, s, q)
		}
		// A circle whose line is off by tol is 2π·tol longer.
		if l, m := s.Length(), q.Length(); math.Abs(l-m) > 7*tol*float64(max(len(s), len(q))+1) {
			return fmt.Sprintf("stroke %d is %v mm long and %v: %v and %v", i+1, l, m, s, q)
		}
	}
	return ""
}
