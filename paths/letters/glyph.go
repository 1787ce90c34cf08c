package letters

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/join"
	"weftplot/paths/weave"
)

// glyph is a letter at one height on one weave, in mm from the crossing of its
// left edge and the base line.
type glyph struct {
	strokes []paths.Stroke
	width   int // channels; the axis of a symmetric letter is in the middle
	number  int // identifies the glyph within a text
	profile profile
	// entry and exit say whether a joined hand enters at the left edge and
	// leaves at the right one.
	entry, exit bool
}

// scale holds what glyphs are drawn with: alphabet, height and weave.
type scale struct {
	*alphabet
	height int
	grid   weave.Grid
}

// glyph draws a spelling.
func (c scale) glyph(s spelling) (*glyph, error) {
	d, ok := c.at(s.base, c.height)
	if !ok {
		return nil, fmt.Errorf("letters: %s has no %q", c.name, s.base)
	}
	cols := columns{width: d.widthOf(c.height, c.grid)}
	if _, exits := d.keys["exit"]; exits {
		cols.tail = c.tail()
	}
	strokes, err := c.base(d, cols, 0)
	if err != nil {
		return nil, fmt.Errorf("letters: %s %q: %w", c.name, s.base, err)
	}
	foot := c.top(strokes) + markGap(c.height)
	for _, m := range s.marks {
		more, err := c.mark(m, d, cols, foot)
		if err != nil {
			return nil, fmt.Errorf("letters: %s %q: %w", c.name, m, err)
		}
		if isAbove(m) {
			foot = c.top(more) + markGap(c.height) - 1
		}
		strokes = append(strokes, more...)
	}
	if strokes, err = fewest(strokes, c.grid); err != nil {
		return nil, fmt.Errorf("letters: %s %q: %w", c.name, s.base, err)
	}
	_, entry := d.keys["entry"]
	g := &glyph{strokes: strokes, width: cols.width + cols.tail, entry: entry, exit: cols.tail > 0}
	g.profile = profileOf(g.strokes, c.grid)
	return g, nil
}

// tail returns the channels between a letter of a joined hand and the next.
func (c scale) tail() int {
	return max(3, int(math.Round(0.4*float64(c.height)*c.grid.Along/c.grid.Across)))
}

// top returns the first row at or above all strokes, but no less than the
// x-height.
func (c scale) top(strokes []paths.Stroke) int {
	y := paths.BoundsOf(strokes).Max.Y / c.grid.Along
	return max(c.guides()['x'], int(math.Ceil(y-1e-6)))
}

func (c scale) guides() rows { return guideRows(c.height, c.small) }

// maxIncludes bounds how deep drawings include one another.
const maxIncludes = 4

// base draws the paths of a letter.
func (c scale) base(d drawing, cols columns, depth int) ([]paths.Stroke, error) {
	f := frame{c.guides(), cols, c.grid, c.holes()}
	var out []paths.Stroke
	var own []path
	for _, p := range d.paths {
		if p.include == 0 {
			own = append(own, p)
			continue
		}
		inner, ok := c.at(p.include, c.height)
		if !ok || depth == maxIncludes {
			return nil, fmt.Errorf("%q cannot be included", p.include)
		}
		more, err := c.base(inner, columns{inner.widthOf(c.height, c.grid), cols.tail}, depth+1)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	drawn, err := f.draw(own)
	return append(out, drawn...), err
}

// holes returns how many holes a cut corner cuts off at most.
func (c scale) holes() int { return max(1, int(math.Round(c.cut*float64(c.height)))) }

// mark draws a mark of a letter whose guides are cols; foot is the lowest row
// of a mark above.
func (c scale) mark(m rune, base drawing, cols columns, foot int) ([]paths.Stroke, error) {
	d, ok := c.at(m, c.height)
	if !ok {
		return nil, fmt.Errorf("there is no such mark")
	}
	own := columns{width: d.widthOf(c.height, c.grid)}
	f := frame{nil, own, c.grid, c.holes()}
	key, def := "top", guide{name: 'c'}
	left := -own.width / 2 // the mark's left edge from its axis
	switch m {
	case caronBeside:
		f.rows, key, def, left = markBeside(c.height), "side", guide{name: 'r'}, part(c.height, 0.15, 2)
	case '\u0328':
		f.rows, key, def = markBelow(c.height), "tail", guide{name: 'c'}
	case '\u0327', commaBelow:
		f.rows, key = markBelow(c.height), "below"
	default:
		f.rows = markAbove(c.height, foot)
	}
	at, given := base.keys[key]
	if !given {
		at = def
	}
	col, ok := cols.at(at)
	if !ok {
		return nil, fmt.Errorf("there is no column %q", at.name)
	}
	out, err := f.draw(d.paths)
	move := paths.Translate(c.grid.At(weave.Place{Across: float64(col + left)}))
	for i, s := range out {
		out[i] = s.Transform(move)
	}
	return out, err
}

// joint is the distance in channels within which strokes of a letter meet.
const joint = 1e-6

// fewest joins strokes into the fewest trails, which may turn at crossings too.
// Its error is that of [join.Strokes].
func fewest(strokes []paths.Stroke, g weave.Grid) ([]paths.Stroke, error) {
	near := joint * min(g.Across, g.Along)
	split := splitAtCrossings(strokes, near)
	joined, _, err := join.Strokes(split, join.Options{Tolerance: near})
	if err != nil {
		return nil, err
	}
	for i, s := range joined {
		joined[i] = mended(s)
	}
	return joined, nil
}

// splitAtCrossings cuts the curves of strokes where they cross.
func splitAtCrossings(strokes []paths.Stroke, near float64) []paths.Stroke {
	var curves []paths.Curve
	for _, s := range strokes {
		curves = append(curves, s...)
	}
	cuts := make([][]float64, len(curves))
	for i, a := range curves {
		for j := i + 1; j < len(curves); j++ {
			for _, x := range paths.Crossings(a, curves[j], near) {
				cuts[i] = append(cuts[i], x.S)
				cuts[j] = append(cuts[j], x.T)
			}
		}
	}
	var out []paths.Stroke
	for i, c := range curves {
		for _, part := range cutAt(c, cuts[i], near) {
			out = append(out, paths.Stroke{part})
		}
	}
	return out
}
