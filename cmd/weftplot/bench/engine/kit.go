package engine

import (
	"context"

	"weftplot/plot"
	"weftplot/plot/job"
)

// A Kit is the cloth of several copies, or of a rug in several loads, before its programs are made.
type Kit struct {
	Whole  plot.Registered // the whole cloth as one drawing
	Copies plot.Kit
	// Of a rug in several loads, which has no copies.
	Panels *plot.Panels
	Loads  []plot.Load
}

// sketchKit sketches one rug of a kit, and the whole cloth.
func (e Engine) sketchKit(ctx context.Context, in job.Inputs, s job.Settings) (r plot.Registered, kit *Kit, err error) {
	laid, err := plot.Lay(in, s)
	if err != nil {
		return r, nil, err
	}
	single, alone := s, in
	single.Copies, single.Names, single.Cloth, single.Gap, single.Turn = 0, "", "", "", false
	single.MarksFor, single.Marks, single.At = nil, "", nil
	alone.Marks, alone.MarksFor, alone.Names = nil, nil, nil
	rug, err := plot.Lay(alone, single)
	if err != nil {
		return r, nil, err
	}
	if r, err = sketchRug(ctx, rug); err != nil {
		return r, nil, err
	}
	r.Settings.Copies, r.Settings.Names, r.Settings.Cloth, r.Settings.Gap, r.Settings.Turn = s.Copies, s.Names, s.Cloth, s.Gap, s.Turn
	r.Settings.MarksFor, r.Settings.Marks, r.Settings.At = s.MarksFor, s.Marks, s.At
	if !s.Really && len(laid.Doubts()) > 0 {
		return r, nil, nil // it is decided first
	}
	kit = &Kit{}
	kit.Whole, kit.Copies, err = plot.SketchKit(ctx, laid)
	return r, kit, err
}

// sketchPanels sketches a rug that is drawn in several loads. Parts is nil where one will do.
func (e Engine) sketchPanels(ctx context.Context, in job.Inputs, s job.Settings) (r plot.Registered, parts *Kit, err error) {
	laid, err := plot.Lay(in, s)
	if err != nil {
		return r, nil, err
	}
	r, panels, loads, err := plot.SketchPanels(ctx, laid, plot.Options{Divided: e.divided})
	if err != nil || len(loads) == 0 {
		return r, nil, err
	}
	return r, &Kit{Whole: r, Panels: &panels, Loads: loads}, nil
}
