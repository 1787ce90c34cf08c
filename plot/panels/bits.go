package panels

import (
	"slices"

	"weftplot/paths"
)

// A bit is a part of a stroke between two places where it may be cut.
type bit struct {
	box    paths.Rect
	length float64
}

// finest is how finely a curve that is no line is taken apart, in mm.
const finest = 0.5

// bitsOf takes a stroke apart where windows may end, and returns the boxes of the bits,
// each longer at both ends by half the lap.
func (f *field) bitsOf(s paths.Stroke) []paths.Rect {
	var bits []bit
	for _, c := range s {
		if l, ok := c.(paths.Line); ok {
			bits = f.ofLine(bits, l)
		} else {
			bits = f.ofCurve(bits, c)
		}
	}
	out := make([]paths.Rect, len(bits))
	closed := s.IsClosed()
	for i := range bits {
		out[i] = bits[i].box
		for _, way := range []int{-1, 1} {
			out[i] = out[i].Union(beyond(bits, i, way, closed, f.opt.Lap/2))
		}
	}
	return out
}

// beyond returns the box of what lies beyond a bit one way, as far as half a lap.
func beyond(bits []bit, i, way int, closed bool, half float64) paths.Rect {
	out, left := bits[i].box, half
	for k := i + way; left > 0; k += way {
		if closed {
			k = (k + len(bits)) % len(bits)
		}
		if k < 0 || k >= len(bits) || k == i {
			break
		}
		next := bits[k]
		if next.length > left {
			out = out.Union(common(out.Grow(left), next.box))
			break
		}
		out, left = out.Union(next.box), left-next.length
	}
	return out
}

func common(a, b paths.Rect) paths.Rect {
	r := paths.Rect{
		Min: paths.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: paths.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
	if r.Min.X > r.Max.X || r.Min.Y > r.Max.Y {
		return paths.EmptyRect()
	}
	return r
}

// ofLine adds the bits of a line. Half a lap beyond the side of a window is where a window
// that ends there and the next one meet.
func (f *field) ofLine(bits []bit, l paths.Line) []bit {
	cuts := []float64{0, 1}
	along := func(sides []float64, a, b float64) {
		lo, hi := min(a, b), max(a, b)
		i, _ := slices.BinarySearch(sides, lo-f.opt.Lap/2+hair)
		for ; i < len(sides) && sides[i]+f.opt.Lap/2 < hi-hair; i++ {
			cuts = append(cuts, (sides[i]+f.opt.Lap/2-a)/(b-a))
		}
	}
	along(f.xs, l.A.X, l.B.X)
	along(f.ys, l.A.Y, l.B.Y)
	slices.Sort(cuts)
	for i := 1; i < len(cuts); i++ {
		if a, b := l.At(cuts[i-1]), l.At(cuts[i]); i == 1 || a != b {
			bits = append(bits, bit{paths.RectOf(a, b), a.Dist(b)})
		}
	}
	return bits
}

// ofCurve adds the bits of another curve: it is halved as long as a side crosses it.
func (f *field) ofCurve(bits []bit, c paths.Curve) []bit {
	box := c.Bounds()
	crossed := func(sides []float64, lo, hi float64) bool {
		i, _ := slices.BinarySearch(sides, lo-f.opt.Lap/2+hair)
		return i < len(sides) && sides[i]+f.opt.Lap/2 < hi-hair
	}
	if max(box.Width(), box.Height()) > finest && (crossed(f.xs, box.Min.X, box.Max.X) || crossed(f.ys, box.Min.Y, box.Max.Y)) {
		a, b := c.Split(0.5)
		return f.ofCurve(f.ofCurve(bits, a), b)
	}
	return append(bits, bit{box, c.Start().Dist(c.End())})
}
