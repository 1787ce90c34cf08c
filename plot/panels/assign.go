package panels

import (
	"weftplot/paths"
	"weftplot/paths/fault"
)

// A unit is what a window holds whole, if one does: a stroke, or the strokes of a word.
type unit struct {
	strokes []int
	box     paths.Rect
	word    bool
}

// unitsOf returns the units of a drawing in the order of their first strokes. It refuses a
// word that no window can hold.
func unitsOf(strokes []Stroke, opt Options) ([]unit, error) {
	var out []unit
	words := map[int]int{} // number -> unit
	for i, s := range strokes {
		if len(s.Stroke) == 0 {
			continue
		}
		box := s.Bounds()
		k, seen := words[s.Word]
		if s.Word == 0 || !seen {
			words[s.Word] = len(out)
			out = append(out, unit{[]int{i}, box, s.Word > 0})
			continue
		}
		out[k].strokes, out[k].box = append(out[k].strokes, i), out[k].box.Union(box)
	}
	for _, u := range out {
		if u.word && !opt.holds(u.box) {
			return nil, fault.TooBig("", "make the letters smaller, or choose a larger machine", "a word of %.1f x %.1f mm is larger than the %.1f x %.1f mm that a load is sure to reach, and no word is cut", u.box.Width(), u.box.Height(), opt.Width, opt.Height)
		}
	}
	return out, nil
}

// hair is how far ink may lie beyond the edge of a window, in mm, for rounding.
const hair = 1e-6

// holds reports whether a window can hold a box.
func (o Options) holds(box paths.Rect) bool {
	return box.Width() <= o.Width+hair && box.Height() <= o.Height+hair
}

func holds(window, box paths.Rect) bool {
	by, _ := window.Excess(box)
	return by <= hair
}

// assign gives every unit to the first window that holds it, since its ink helps to find
// later loads, and cuts the strokes that none holds. Windows in which nothing is drawn are
// left out.
func (p *Plan) assign(units []unit, windows []paths.Rect) error {
	loads := make([]Load, len(windows))
	for i, w := range windows {
		loads[i].Window = w
	}
	c := newCutter(p, windows)
	parts := make([][]ownPart, len(p.strokes))
	for _, u := range units {
		n := firstThatHolds(windows, u.box)
		for _, s := range u.strokes {
			if n >= 0 {
				parts[s] = []ownPart{{n, Part{s, p.strokes[s].Stroke, 0, p.strokes[s].Length()}}}
				continue
			}
			var err error
			if parts[s], err = c.cut(s); err != nil {
				return err
			}
			p.Cuts++
		}
	}
	for _, of := range parts {
		for _, o := range of {
			loads[o.load].Parts = append(loads[o.load].Parts, o.Part)
		}
	}
	number := make([]int, len(loads))
	for i, l := range loads {
		number[i] = len(p.Loads)
		if len(l.Parts) > 0 {
			p.Loads = append(p.Loads, l)
		}
	}
	for i := range p.Joints {
		j := &p.Joints[i]
		a, b := number[j.Loads[0]], number[j.Loads[1]]
		j.Loads = [2]int{min(a, b), max(a, b)}
	}
	return nil
}

// An ownPart is a part with the number of the window in which it is drawn.
type ownPart struct {
	load int
	Part
}

func firstThatHolds(windows []paths.Rect, box paths.Rect) int {
	for n, w := range windows {
		if holds(w, box) {
			return n
		}
	}
	return -1
}
