package weave

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// FixedLine is a line whose channel is settled before snapping: a side of the
// border. Lo and Hi are its ends along its own direction, in the drawn frame.
type FixedLine struct {
	Axis    Axis
	Channel int
	Lo, Hi  float64 // mm
}

// LeastChannels is the least number of channels a rug has each way.
const LeastChannels = 10

// Border returns the lines of a border counted in holes: a closed rectangle at
// the edge of a rug of nx by ny channels, then for each entry of rows a further
// rectangle inside, with that many rows of holes left empty between it and the
// one before: N empty rows put it N+1 channels farther in (common practice).
// Corners lie where channels cross. The inset is the number of channels from
// the edge to the innermost line.
//
// A negative number of rows or a rug of fewer than [LeastChannels] channels is
// refused; a border whose innermost line would enclose nothing is a
// [fault.Error] of kind [fault.Fit].
func Border(nx, ny int, rows []int, g Grid) (strokes []paths.Stroke, fixed []FixedLine, inset int, err error) {
	if err := CheckSize(nx, ny); err != nil {
		return nil, nil, 0, err
	}
	least := min(nx, ny)
	for i := 0; ; i++ {
		if 2*inset >= least {
			return nil, nil, 0, fault.TooBig("", "leave fewer rows between the lines, or make the rug larger",
				"the border needs %d channels on each side, and the rug is %d by %d channels", inset, nx, ny)
		}
		s, f := rectangle(inset, nx-inset, inset, ny-inset, g)
		strokes, fixed = append(strokes, s), append(fixed, f...)
		if i == len(rows) {
			return strokes, fixed, inset, nil
		}
		if rows[i] < 0 {
			return nil, nil, 0, fault.Bad("", "write how many rows of holes stay empty, 0 or more",
				"%d rows of holes between two lines of a border", rows[i])
		}
		// A huge number is beyond every rug already; adding it could overflow.
		inset += min(rows[i], least) + 1
	}
}

// CheckSize refuses a rug of fewer than [LeastChannels] channels either way.
func CheckSize(nx, ny int) error {
	if nx < LeastChannels || ny < LeastChannels {
		return fault.TooBig("", fmt.Sprintf("make it at least %d channels each way, or use a finer backing", LeastChannels),
			"the rug is %d by %d channels", nx, ny)
	}
	return nil
}

// rectangle returns the closed stroke through the four crossings,
// counter-clockwise from the lower left, and its sides.
func rectangle(x0, x1, y0, y1 int, g Grid) (paths.Stroke, []FixedLine) {
	at := func(x, y int) paths.Point { return g.At(Place{float64(x), float64(y)}) }
	a, b, c, d := at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)
	return paths.Polyline(a, b, c, d, a), []FixedLine{
		{Along, y0, a.X, b.X}, {Across, x1, b.Y, c.Y},
		{Along, y1, d.X, c.X}, {Across, x0, a.Y, d.Y},
	}
}
