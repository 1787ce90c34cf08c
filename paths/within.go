package paths

import "slices"

// Span is a part of a curve, between two of its parameters.
type Span struct{ From, To float64 }

// Within returns the parts of c that lie in r, its edge included, in order and
// apart from each other. Parts of no length, where c only touches r, are left
// out, unless c itself is a single point.
func Within(c Curve, r Rect) []Span { return spansWhere(c, r, true) }

// Beyond returns the parts of c that lie outside r, in order and apart from
// each other: what [Within] leaves out.
func Beyond(c Curve, r Rect) []Span { return spansWhere(c, r, false) }

// spansWhere cuts c where it crosses the sides of r and keeps the pieces whose
// middle is inside, or with in false those whose middle is outside.
func spansWhere(c Curve, r Rect, in bool) []Span {
	if by, _ := r.Excess(c.Bounds()); by <= 0 && !r.IsEmpty() {
		if in {
			return []Span{{0, 1}}
		}
		return nil
	}
	cuts := []float64{0, 1}
	for _, x := range []float64{r.Min.X, r.Max.X} {
		cuts = append(cuts, crossings(c, x, func(p Point) float64 { return p.X })...)
	}
	for _, y := range []float64{r.Min.Y, r.Max.Y} {
		cuts = append(cuts, crossings(c, y, func(p Point) float64 { return p.Y })...)
	}
	slices.Sort(cuts)
	var out []Span
	for i := 1; i < len(cuts); i++ {
		a, b := cuts[i-1], cuts[i]
		if b-a < 1e-12 || r.Contains(c.At((a+b)/2)) != in {
			continue
		}
		if last := len(out) - 1; last >= 0 && a-out[last].To < 1e-12 {
			out[last].To = b
			continue
		}
		out = append(out, Span{a, b})
	}
	return out
}

// crossings returns the parameters inside (0, 1) at which a coordinate of c
// takes a value. They are found by halving, between the places where the
// coordinate turns.
func crossings(c Curve, value float64, coordinate func(Point) float64) []float64 {
	var out []float64
	t0, v0 := 0.0, coordinate(c.Start())-value
	for _, t1 := range append(Turns(c), 1) {
		v1 := coordinate(c.At(t1)) - value
		if v0 != 0 && v1 != 0 && (v0 < 0) != (v1 < 0) {
			out = append(out, bisect(func(t float64) float64 { return coordinate(c.At(t)) - value }, t0, t1))
		} else if v1 == 0 && t1 < 1 {
			out = append(out, t1)
		}
		t0, v0 = t1, v1
	}
	return out
}
