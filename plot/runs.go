package plot

import (
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/order"
	"weftplot/plot/fit"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

// penFor returns the pen of a layer.
func (j *Job) penFor(layer string) (profiles.Pen, error) {
	name := j.Settings.Pen
	if n, ok := j.Settings.PenFor[layer]; ok {
		name = n
	}
	p, ok := j.Inputs.Pens[name]
	if !ok {
		return p, fmt.Errorf("the pen %q was not handed over", name)
	}
	return p, nil
}

// order splits the strokes by pen, border first, and finds the least travel of
// each pen's run in the machine frame, where home and park are.
func (j *Job) order() error {
	for layer := range j.Settings.PenFor {
		if !slices.Contains(j.layers(), layer) {
			return fault.Bad("pen-for", fmt.Sprintf("the layers are %s", quoted(j.layers())), "there is no layer called %q", layer)
		}
	}
	effort, err := order.ParseEffort(j.Settings.Effort)
	if err != nil {
		return err
	}
	var pens []profiles.Pen
	byPen := map[string][]Stroke{}
	for _, s := range j.Drawn {
		p, err := j.penFor(s.Layer)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(pens, func(q profiles.Pen) bool { return q.Name == p.Name }) {
			pens = append(pens, p)
		}
		byPen[p.Name] = append(byPen[p.Name], Stroke{j.onMachine(s.Stroke), s.Layer})
	}
	if err := j.insideArea(byPen, pens); err != nil {
		return err
	}
	for _, p := range pens {
		strokes, err := j.orderRun(byPen[p.Name], p, effort)
		if err != nil {
			return err
		}
		run := Run{Pen: p, Feed: j.feed(p)}
		within, _ := j.shares(p)
		for i, s := range strokes {
			run.Asked = append(run.Asked, s.Stroke)
			strokes[i].Stroke = fit.Arcs(s.Stroke, within)
		}
		if p.Blade {
			run.cuts, run.Asked = run.Asked, nil
			if strokes, err = j.towBlade(strokes, p); err != nil {
				return err
			}
		}
		run.Strokes = strokes
		j.Runs = append(j.Runs, run)
	}
	return nil
}

// orderRun orders the strokes of one pen. The border's come before the
// artwork's; a blade cuts what lies inside before what lies round it, so that
// nothing comes loose too early, and leaves dots out.
func (j *Job) orderRun(strokes []Stroke, p profiles.Pen, effort order.Effort) ([]Stroke, error) {
	var from [][]Stroke
	if p.Blade {
		from = j.nested(strokes)
	} else {
		border := slices.Clone(strokes)
		border = slices.DeleteFunc(border, func(s Stroke) bool { return s.Layer != BorderLayer })
		art := slices.DeleteFunc(slices.Clone(strokes), func(s Stroke) bool { return s.Layer == BorderLayer })
		from = [][]Stroke{border, art}
	}
	groups := make([][]paths.Stroke, len(from))
	for g, group := range from {
		for _, s := range group {
			groups[g] = append(groups[g], s.Stroke)
		}
	}
	opt := order.Options{Park: j.Inputs.Machine.ParkAt(), Effort: effort, Stop: j.Inputs.Stop}
	if j.Settings.Least == LeastTime {
		hop := motion.HopTime(motion.LimitsOf(j.Inputs.Machine))
		opt.Cost = func(a, b paths.Point) float64 { return hop(a.Dist(b)) }
	}
	if j.Inputs.Progress != nil {
		opt.Progress = func(done, total int, _ float64) { j.Inputs.Progress("ordering", done, total) }
	}
	res, err := order.Order(groups, opt)
	if err != nil {
		return nil, err
	}
	out := make([]Stroke, len(res.Placed))
	for i, p := range res.Placed {
		out[i] = Stroke{p.Stroke, from[p.Group][p.Index].Layer}
	}
	return out, nil
}

// feed is the least that machine, pen and backing allow, in mm/s. Paper is not
// cloth: only a drawing straight on the backing is held to the backing's speed.
func (j *Job) feed(p profiles.Pen) float64 {
	f := min(float64(j.Inputs.Machine.Speed.Draw), float64(p.MaxSpeed))
	if j.Settings.Transfer == Direct {
		f = min(f, float64(j.Inputs.Backing.MaxSpeed))
	}
	return f
}

// insideArea is the fault for strokes that the machine cannot reach.
func (j *Job) insideArea(byPen map[string][]Stroke, pens []profiles.Pen) error {
	all := paths.EmptyRect()
	for _, p := range pens {
		all = all.Union(boundsOf(byPen[p.Name]))
	}
	reach := j.Inputs.Machine.Reach()
	by, side := reach.Grow(1e-6).Excess(all)
	if by == 0 {
		return nil
	}
	do := "choose a larger machine, a smaller size, or another place (--at)"
	if all.Width() > reach.Width() || all.Height() > reach.Height() {
		do = "choose a larger machine or a smaller size"
		if all.Height() <= reach.Width() && all.Width() <= reach.Height() {
			do += "; turned by a quarter it would fit"
		}
	}
	return fault.TooBig("machine "+j.Inputs.Machine.Name, do,
		"the drawing is %.1f x %.1f mm and the pen reaches %.1f x %.1f mm: it sticks out by %.1f mm at the %s",
		all.Width(), all.Height(), reach.Width(), reach.Height(), by, side)
}
