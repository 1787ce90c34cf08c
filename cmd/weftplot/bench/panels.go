package bench

import (
	"context"
	"errors"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/sending"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/job"
)

// tooLarge is the error of a rug that does not fit the machine, and that may be drawn in
// several loads.
type tooLarge struct{ error }

func (e *tooLarge) Unwrap() error { return e.error }

// mayDivide marks the error of a rug that does not fit the machine.
func mayDivide(err error) error {
	var f *fault.Error
	if errors.As(err, &f) && errors.Is(err, fault.Fit) && strings.HasPrefix(f.Where, "machine ") {
		return &tooLarge{err}
	}
	return err
}

// sketchPanels sketches a rug that is drawn in several loads. Parts is nil where one will do.
func sketchPanels(ctx context.Context, in job.Inputs, s job.Settings) (r plot.Registered, parts *kitSketch, err error) {
	laid, err := plot.Lay(in, s)
	if err != nil {
		return r, nil, err
	}
	r, panels, loads, err := plot.SketchPanels(ctx, laid)
	if err != nil || len(loads) == 0 {
		return r, nil, err
	}
	return r, &kitSketch{whole: r, panels: &panels, loads: loads}, nil
}

// inParts reports whether the job is one rug in several loads.
func (j *task) inParts() bool { return j.kit != nil && j.kit.panels != nil }

// inLoads reports whether the programs of the job are made load by load.
func (j *task) inLoads() bool { return j.made != nil && j.made.Kit != nil || j.inParts() }

// betweenLoads reports whether some loads of a rug are drawn and others are not.
func (j *task) betweenLoads() bool {
	if !j.inParts() || j.made == nil {
		return false
	}
	states := j.loadStates()
	ended := func(s loadState) bool { return s.begun.Done || s.begun.Sent }
	return slices.ContainsFunc(states, ended) && dueLoad(states) > 0
}

// partsShown puts the loads of one rug into the form of the page.
func (j *task) partsShown() *kitShown {
	m := j.kit.whole
	out := &kitShown{Copies: []copyShown{}, Loads: []loadShown{}, Notes: []string{}, Joints: [][2]float64{}, Panels: true}
	for _, n := range j.kit.panels.Notes {
		out.Notes = append(out.Notes, fault.Rename(n.Message, labelOf))
	}
	for _, l := range j.kit.loads {
		load := loadShown{N: l.N, State: stateDue, Copies: []int{}, Box: frontBox(m, l.Window), Waits: l.NeedsMarks, Found: l.N > 1 && !l.NeedsMarks}
		if l.NeedsMarks {
			t := troubleOf(sending.NeedsMarks(j.dir, l.N))
			load.Do = t.What + "; " + t.Do + "."
		}
		out.Loads = append(out.Loads, load)
	}
	for _, at := range j.kit.panels.Joints {
		b := frontBox(m, paths.Rect{Min: at.At, Max: at.At})
		out.Joints = append(out.Joints, [2]float64{sheets.Hundredth(b[0]), sheets.Hundredth(b[1])})
	}
	if j.made != nil && len(j.made.Loads) == len(out.Loads) {
		j.addStates(out)
	}
	return out
}
