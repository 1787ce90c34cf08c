package bench

import (
	"fmt"
	"slices"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth/search"
)

// kitShown puts the kit of a job into the form of the page.
func (j *task) kitShown() *told.Kit {
	if j.kit.Panels != nil {
		return j.partsShown()
	}
	k := j.kit.Copies
	out := &told.Kit{
		Joints: [][2]float64{},
		Cloth:  fmt.Sprintf("%s from selvedge to selvedge, %s of it along", paths.Length(k.Cloth.Width()).Both(), paths.Length(k.Cloth.Height()).Both()),
		Copies: []told.Copy{}, Loads: []told.Load{}, Notes: []string{},
	}
	for _, n := range k.Notes {
		out.Notes = append(out.Notes, n.Message)
	}
	boxes := map[int]paths.Rect{}
	for _, c := range k.Copies {
		out.Copies = append(out.Copies, told.Copy{N: c.N, Name: c.Name, Load: c.Load, Turned: c.Turned, State: told.Due})
		b, ok := boxes[c.Load]
		if !ok {
			b = paths.EmptyRect()
			out.Loads = append(out.Loads, told.Load{N: c.Load, State: told.Due, Copies: []int{}})
		}
		boxes[c.Load] = b.Union(c.Piece)
	}
	slices.SortFunc(out.Loads, func(a, b told.Load) int { return a.N - b.N })
	for i := range out.Loads {
		l := &out.Loads[i]
		l.Box = told.FrontBox(j.kit.Whole, boxes[l.N])
		for _, c := range out.Copies {
			if c.Load == l.N {
				l.Copies = append(l.Copies, c.N)
			}
		}
	}
	if j.made != nil && len(j.made.Loads) == len(out.Loads) {
		j.addStates(out)
	}
	return out
}

// addStates adds what the journals prove.
func (j *task) addStates(out *told.Kit) {
	states := j.loadStates()
	out.Due = dueLoad(states)
	for i, s := range states {
		l := &out.Loads[i]
		l.Begun, l.Lay = told.BegunOf(s.begun), j.layWords(l.N)
		if marks := marksOfLoad(j.made, l.N); len(marks) > 0 {
			points, _ := j.made.Loads[i].ToFind()
			l.Found = true
			l.Fit = fmt.Sprintf("%d marks; error to expect%s: %.2f channels, or less, in 95 of 100 cloths like this.", len(marks), points.Where(), search.ErrorAt(j.made.Loads[i].Registration, points.Meets))
		}
		switch {
		case s.begun.Done && !s.begun.Sent:
			l.State = told.Drawn
		case s.begun.Sent:
			l.State = told.Sent
		case s.begun.Begun && !l.Waits:
			l.State = told.HalfDrawn
		}
		for k := range out.Copies {
			if c := &out.Copies[k]; c.Load == l.N {
				switch {
				case l.State == told.Drawn || l.State == told.Sent:
					c.State = l.State
				case s.whole[c.N]:
					c.State = told.Drawn
				}
			}
		}
	}
}

// findDo is what to do about a load that waits for its marks.
const findDo = "lay the cloth for it, and find its points on the step The cloth on the frame"

// partsShown puts the loads of one rug into the form of the page.
func (j *task) partsShown() *told.Kit {
	m := j.kit.Whole
	out := &told.Kit{Copies: []told.Copy{}, Loads: []told.Load{}, Notes: []string{}, Joints: [][2]float64{}, Panels: true}
	for _, n := range j.kit.Panels.Notes {
		out.Notes = append(out.Notes, fault.Rename(n.Message, told.Label))
	}
	for _, l := range j.kit.Loads {
		load := told.Load{N: l.N, State: told.Due, Copies: []int{}, Box: told.FrontBox(m, l.Window), Waits: l.NeedsMarks}
		if l.NeedsMarks {
			load.Do = fmt.Sprintf("Load %d waits for its marks: %s.", l.N, findDo)
		}
		out.Loads = append(out.Loads, load)
	}
	for _, at := range j.kit.Panels.Joints {
		b := told.FrontBox(m, paths.Rect{Min: at.At, Max: at.At})
		out.Joints = append(out.Joints, [2]float64{sheets.Hundredth(b[0]), sheets.Hundredth(b[1])})
	}
	if j.made != nil && len(j.made.Loads) == len(out.Loads) {
		j.addStates(out)
	}
	return out
}
