package plot

import (
	"context"

	"weftplot/paths"
	"weftplot/paths/weave/cloth"
)

// SketchPanels divides a rug into loads without making programs: the whole rug as one
// drawing that lies as it is counted, and what of it each load draws. It returns no loads
// where the machine reaches all of the rug, which lies on the machine then.
func SketchPanels(ctx context.Context, laid Laid) (r Registered, p Panels, loads []Load, err error) {
	m, err := newPanelMaker(ctx, laid, Options{})
	if err != nil {
		return r, p, nil, err
	}
	if m.whole() {
		j, err := m.onlyLoad()
		if err == nil {
			r, err = Register(j)
		}
		r.Settings = m.joined.Settings // a place and marks follow from them
		return r, m.Panels, nil, err
	}
	if err := m.divide(ctx); err != nil {
		return r, p, nil, err
	}
	if err := m.checkMarksFor(len(m.loads)); err != nil {
		return r, p, nil, err
	}
	r = Registered{Joined: m.joined, Registration: cloth.Nominal(m.joined.Grid, paths.Point{})}
	r.Placed = r.Drawn
	for i := range m.loads {
		_, file := m.marksOf(i + 1)
		m.loads[i].NeedsMarks = i > 0 && file == ""
	}
	return r, m.Panels, m.loads, nil
}
