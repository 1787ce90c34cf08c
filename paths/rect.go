package paths

import "math"

// Rect is a closed rectangle with its sides along the axes. The zero value is
// the single point at the origin; [EmptyRect] holds no point at all.
type Rect struct{ Min, Max Point }

// EmptyRect returns the rectangle that holds nothing, the identity of Union.
func EmptyRect() Rect {
	inf := math.Inf(1)
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

// RectOf returns the smallest rectangle that holds every given point.
func RectOf(pts ...Point) Rect {
	r := EmptyRect()
	for _, p := range pts {
		r = r.Include(p)
	}
	return r
}

// IsEmpty reports whether r holds no point.
func (r Rect) IsEmpty() bool { return r.Min.X > r.Max.X || r.Min.Y > r.Max.Y }

// Include returns the smallest rectangle that holds r and p.
func (r Rect) Include(p Point) Rect {
	return Rect{
		Point{min(r.Min.X, p.X), min(r.Min.Y, p.Y)},
		Point{max(r.Max.X, p.X), max(r.Max.Y, p.Y)},
	}
}

// Union returns the smallest rectangle that holds both r and s.
func (r Rect) Union(s Rect) Rect {
	return Rect{
		Point{min(r.Min.X, s.Min.X), min(r.Min.Y, s.Min.Y)},
		Point{max(r.Max.X, s.Max.X), max(r.Max.Y, s.Max.Y)},
	}
}

// Width returns the extent along x, 0 for an empty rectangle.
func (r Rect) Width() float64 { return max(0, r.Max.X-r.Min.X) }

// Height returns the extent along y, 0 for an empty rectangle.
func (r Rect) Height() float64 { return max(0, r.Max.Y-r.Min.Y) }

// Centre returns the middle of r.
func (r Rect) Centre() Point {
	return Point{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2}
}

// Grow returns r with each side moved outwards by d mm.
func (r Rect) Grow(d float64) Rect {
	return Rect{Point{r.Min.X - d, r.Min.Y - d}, Point{r.Max.X + d, r.Max.Y + d}}
}

// Contains reports whether p lies in r or on its edge.
func (r Rect) Contains(p Point) bool {
	return r.Min.X <= p.X && p.X <= r.Max.X && r.Min.Y <= p.Y && p.Y <= r.Max.Y
}

// Overlaps reports whether r and s have a point in common; rectangles that touch
// do.
func (r Rect) Overlaps(s Rect) bool {
	return r.Min.X <= s.Max.X && s.Min.X <= r.Max.X && r.Min.Y <= s.Max.Y && s.Min.Y <= r.Max.Y
}

// Excess returns how far s sticks out of r on the side where it does so most,
// in mm, with the name of that side ("left", "right", "bottom" or "top"). It
// returns 0 and "" when r holds all of s.
func (r Rect) Excess(s Rect) (by float64, side string) {
	if s.IsEmpty() {
		return 0, ""
	}
	for _, c := range []struct {
		by   float64
		side string
	}{
		{r.Min.X - s.Min.X, "left"}, {s.Max.X - r.Max.X, "right"},
		{r.Min.Y - s.Min.Y, "bottom"}, {s.Max.Y - r.Max.Y, "top"},
	} {
		if c.by > by {
			by, side = c.by, c.side
		}
	}
	return by, side
}
