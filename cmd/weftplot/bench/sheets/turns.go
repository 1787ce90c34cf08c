package sheets

import (
	"math"

	"weftplot/paths"
	"weftplot/plot"
)

// turns returns for each stroke, as it was placed, when it is drawn: its place
// among the strokes of all programs, in their order. One that is not drawn, as
// a dot that a blade leaves out, has the place after the last.
//
// Ordering keeps what a stroke covers and its layer, and may draw it from its
// other end, or a closed one from another place: so the strokes are told by
// their boxes and lengths.
func turns(placed []plot.Stroke, runs []plot.PenRun) []int {
	waiting := map[cell][]int{} // places in placed, by where they lie
	for i, s := range placed {
		c := cellOf(s.Stroke.Bounds())
		waiting[c] = append(waiting[c], i)
	}
	out := make([]int, len(placed))
	for i := range out {
		out[i] = -1
	}
	n := 0
	for _, r := range runs {
		for _, s := range r.Asked {
			if i := likest(placed, out, waiting, s); i >= 0 {
				out[i] = n
			}
			n++
		}
	}
	for i := range out {
		if out[i] < 0 {
			out[i] = n
		}
	}
	return out
}

// cell is a square of the machine's area, of side cellSize mm.
type cell struct{ x, y int }

const cellSize = 1.0

func cellOf(b paths.Rect) cell {
	c := b.Centre()
	return cell{int(math.Floor(c.X / cellSize)), int(math.Floor(c.Y / cellSize))}
}

// likest returns the stroke that is most like s of those near it that have no
// turn yet; -1 where none is like it.
func likest(placed []plot.Stroke, turn []int, waiting map[cell][]int, s plot.Stroke) int {
	box, length := s.Stroke.Bounds(), s.Stroke.Length()
	at := cellOf(box)
	best, least := -1, cellSize
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, i := range waiting[cell{at.x + dx, at.y + dy}] {
				if turn[i] >= 0 || placed[i].Layer != s.Layer {
					continue
				}
				b := placed[i].Stroke.Bounds()
				off := b.Min.Dist(box.Min) + b.Max.Dist(box.Max) + math.Abs(placed[i].Stroke.Length()-length)
				if off < least {
					best, least = i, off
				}
			}
		}
	}
	return best
}
