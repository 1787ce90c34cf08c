package parts

import (
	"math"

	"weftplot/paths"
)

// A Line is one stroke of a drawing.
type Line struct {
	paths.Stroke
	// Word is the number of the words that it is a part of, from 1: it is never cut, and
	// drawn with the others of its word where one window holds them. 0 is none.
	Word int
}

// A Piece is a line, or a part of it, that is drawn in a load.
type Piece struct {
	Line int // its number
	paths.Stroke
}

// A Joint is where two parts of a line meet.
type Joint struct {
	At    paths.Point
	Along paths.Point // the line's direction there, of length 1
	Line  int         // its number
	Loads [2]int      // that draw the parts, by number from 0, the lower one first
}

// A Division is a drawing in loads.
type Division struct {
	Windows []paths.Rect
	Pieces  [][]Piece // by load, in the order of the lines
	Joints  []Joint
}

// Options say how a drawing is divided.
type Options struct {
	// Width and Height are of a window, Lap is how far parts go past each other, in mm.
	Width, Height, Lap float64
}

// leastOverlap is what neighbouring windows have in common at least, in mm: room for ink
// to be found in and for a joint. It is no more than a quarter of a window.
const leastOverlap = 40

// Divide parts a drawing. It returns the number of a line of a word that no window holds,
// and false, where there is one. There are as few windows as cover the drawing in rows and
// columns.
func Divide(lines []Line, opt Options) (d Division, tooLong int, ok bool) {
	all := paths.EmptyRect()
	for _, l := range lines {
		all = all.Union(l.Bounds())
	}
	d.Windows = windows(all, opt)
	d.Pieces = make([][]Piece, len(d.Windows))
	c := divider{Division: d, lines: lines, opt: opt}
	words := map[int]paths.Rect{}
	for _, l := range lines {
		if box, seen := words[l.Word]; seen {
			words[l.Word] = box.Union(l.Bounds())
		} else {
			words[l.Word] = l.Bounds()
		}
	}
	for i, l := range lines {
		if l.Word > 0 {
			n := c.holds(words[l.Word])
			if n < 0 {
				n = c.holds(l.Bounds())
			}
			if n < 0 {
				return Division{}, i, false
			}
			c.add(n, i, l.Stroke)
			continue
		}
		if n := c.holds(l.Bounds()); n >= 0 {
			c.add(n, i, l.Stroke)
			continue
		}
		c.cut(i)
	}
	return c.Division, 0, true
}

// windows lays windows over a drawing in rows and columns, evenly, in rows from the lower
// end and each from the left.
func windows(all paths.Rect, opt Options) []paths.Rect {
	xs, w := spread(all.Min.X, all.Max.X, opt.Width)
	ys, h := spread(all.Min.Y, all.Max.Y, opt.Height)
	var out []paths.Rect
	for _, y := range ys {
		for _, x := range xs {
			at := paths.Point{X: x, Y: y}
			out = append(out, paths.Rect{Min: at, Max: at.Add(paths.Point{X: w, Y: h})})
		}
	}
	return out
}

// spread returns where windows of a size begin that cover lo to hi, and their size, which
// is less where one is enough.
func spread(lo, hi, size float64) (at []float64, used float64) {
	whole := hi - lo
	if whole <= size {
		return []float64{lo}, whole
	}
	overlap := min(leastOverlap, size/4)
	n := int(math.Ceil((whole - overlap) / (size - overlap) * (1 - 1e-12)))
	for i := range n {
		at = append(at, lo+float64(i)*(whole-size)/float64(n-1))
	}
	return at, size
}

// A divider divides a drawing.
type divider struct {
	Division
	lines []Line
	opt   Options
}

// holds returns the first window that holds a box, by number from 0; -1 for none.
func (c *divider) holds(box paths.Rect) int {
	const slack = 1e-6
	for n, w := range c.Windows {
		if by, _ := w.Excess(box); by <= slack {
			return n
		}
	}
	return -1
}

func (c *divider) add(load, line int, s paths.Stroke) {
	c.Pieces[load] = append(c.Pieces[load], Piece{line, s})
}
