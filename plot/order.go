package plot

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/order"
	"weftplot/paths/order/bound"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/knife"
	"weftplot/plot/motion"
	"weftplot/profiles"
)

// Ordered is a drawing with the strokes of each pen in order.
type Ordered struct {
	Registered
	// Tours are what the pens draw, one after the other.
	Tours []Tour
}

// Tour is what one pen draws, in order.
type Tour struct {
	Pen profiles.Pen // that draws it
	// Feed is the speed asked for in mm/s: the least that machine, pen and backing
	// allow.
	Feed float64
	// Asked are the strokes as the design, snapped and registered, has them, in
	// the machine frame.
	Asked []Stroke
	// DotsLeftOut is how many dots a blade leaves out.
	DotsLeftOut int
	// Copies says of which copy of a kit each of Asked is, by the number from 1; 0 is a
	// tick where the cloth is cut. It is nil for a single rug.
	Copies []int
	// TravelBound is a pen-up distance in mm that no order of the strokes falls below,
	// worked out at thorough effort; 0 where none is.
	TravelBound float64
}

// Order gives each pen its strokes, those of layers to be drawn first before the others,
// and looks for the least
// travel of each in the machine frame, where home and park are. It tells
// opt.Progress how far it is and asks opt.Enough whether the best so far will do;
// with opt.AsGiven it looks for none.
// A cancelled context ends it with the error of ctx.
func Order(ctx context.Context, r Registered, opt Options) (Ordered, error) {
	effort, err := order.ParseEffort(r.Settings.Effort)
	if err != nil {
		return Ordered{}, err
	}
	tours, err := r.toursInDesignOrder()
	if err != nil {
		return Ordered{}, err
	}
	out := Ordered{Registered: r}
	for _, t := range tours {
		if t, err = r.ordered(ctx, t, effort, opt); err != nil {
			return Ordered{}, err
		}
		out.Tours = append(out.Tours, t)
	}
	return out, nil
}

// toursInDesignOrder gives each pen its strokes.
func (r Registered) toursInDesignOrder() ([]Tour, error) {
	var tours []Tour
	if err := r.firstKnown(); err != nil {
		return nil, err
	}
	for _, k := range inOrderOf(r.Placed, r.layersFirst()) {
		s := r.Placed[k]
		p, err := r.PenFor(s.Layer)
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(tours, func(t Tour) bool { return t.Pen.Name == p.Name })
		if i < 0 {
			i = len(tours)
			tours = append(tours, Tour{Pen: p, Feed: r.feed(p)})
		}
		tours[i].Asked = append(tours[i].Asked, s)
		if r.part.isKit() {
			tours[i].Copies = append(tours[i].Copies, r.part.copyOf(k))
		}
	}
	for _, t := range tours { // before the search for a shorter order, which takes long
		if err := r.tooLong(t.Pen, strokeSteps*len(t.Asked)); err != nil {
			return nil, err
		}
	}
	return tours, nil
}

// firstKnown refuses layers to be drawn first that are not there.
func (r Registered) firstKnown() error {
	layers := r.layers()
	for _, layer := range r.Settings.First {
		if !slices.Contains(layers, layer) {
			return fault.Bad("first", fmt.Sprintf("the layers are %s", figures.Quoted(layers)), "there is no layer called %q", layer)
		}
	}
	return nil
}

// ordered returns t with its strokes in order. Those of layers that are drawn first
// come before the others, the border's unless the settings say more; a blade cuts what lies inside before what lies round it, so that
// nothing comes loose too early, and leaves dots out.
func (r Registered) ordered(ctx context.Context, t Tour, effort order.Effort, opt Options) (Tour, error) {
	var groups [][]Stroke
	var copies []int // of each group, in a kit
	if r.part.isKit() {
		groups, copies = r.part.groups(t, r.layersFirst())
	} else if t.Pen.Blade {
		groups, t.DotsLeftOut = nested(t.Asked)
	} else {
		groups = inTurn(t.Asked, r.layersFirst())
	}
	if t.Copies != nil {
		t.Copies = nil
		for g, group := range groups {
			t.Copies = append(t.Copies, slices.Repeat(copies[g:g+1], len(group))...)
		}
	}
	if opt.AsGiven {
		t.Asked = slices.Concat(groups...)
		return t, ctx.Err()
	}
	err := r.shorten(ctx, &t, groups, effort, opt)
	return t, err
}

// shorten looks for the order of the groups' strokes that t draws, and sets the bound on
// its travel at thorough effort.
func (r Registered) shorten(ctx context.Context, t *Tour, groups [][]Stroke, effort order.Effort, opt Options) error {
	strokes := make([][]paths.Stroke, len(groups))
	n := 0
	for g, group := range groups {
		strokes[g] = plain(group)
		n += len(group)
	}
	how := order.Options{Park: r.Inputs.Machine.ParkAt(), Effort: effort}
	how.Stop = func() bool { return ctx.Err() != nil || opt.Enough != nil && opt.Enough() }
	if r.Settings.Least == job.LeastTime {
		hop := motion.HopTime(motion.LimitsOf(r.Inputs.Machine))
		how.Cost = func(a, b paths.Point) float64 { return hop(a.Dist(b)) }
	}
	bounded := effort == order.Thorough && n > 0 && n <= bound.Most && !t.Pen.Blade
	progress := func(float64) {}
	if opt.Progress != nil {
		share := 1.
		if bounded {
			share = 1 - boundShare
		}
		progress = func(done float64) { opt.Progress(Ordering, int(1000*done), 1000) }
		how.Progress = func(done, total int, _ float64) { progress(share * float64(done) / float64(max(total, 1))) }
	}
	res, err := order.Order(strokes, how)
	if err != nil {
		return err
	}
	t.Asked = make([]Stroke, len(res.Placed))
	for i, p := range res.Placed {
		t.Asked[i] = Stroke{p.Stroke, groups[p.Group][p.Index].Layer}
	}
	if bounded {
		err = r.bound(t, res.TravelMM, how, progress)
	}
	return cmp.Or(ctx.Err(), err)
}

// boundShare is how much of the progress of ordering the bound is taken for: with loops it takes as
// long as the order, and without them a fifth of that.
const boundShare = 0.3

// bound works out the bound on the travel of t, which is travel mm now. A blade cuts on
// past where a closed line begins, so its tour has none; nor has a large one. progress is
// told how much of the ordering is done.
func (r Registered) bound(t *Tour, travel float64, how order.Options, progress func(float64)) error {
	b, err := bound.Lower(plain(t.Asked), how.Home, how.Park, travel, func(done, total int) bool {
		progress(1 - boundShare*(1-float64(done)/float64(total)))
		return !how.Stop()
	})
	// The machine counts in steps: each end of a hop is drawn up to one step off.
	t.TravelBound = max(0, b-2*float64(len(t.Asked)+1)*r.Inputs.Machine.Step())
	return err
}

// layersFirst are the layers that are drawn before all others, in order.
func (l Laid) layersFirst() []string {
	first := slices.Clone(l.Settings.First)
	if !slices.Contains(first, BorderLayer) {
		first = append(first, BorderLayer)
	}
	return first
}

// inOrderOf returns the places of strokes in their list: those of each of the layers, in
// order, and then all others.
func inOrderOf(strokes []Stroke, layers []string) []int {
	groups := make([][]int, len(layers)+1)
	for k, s := range strokes {
		i := rank(s, layers)
		groups[i] = append(groups[i], k)
	}
	return slices.Concat(groups...)
}

// inTurn parts strokes into those of each of the layers, in order, and all others.
func inTurn(strokes []Stroke, layers []string) [][]Stroke {
	groups := make([][]Stroke, len(layers)+1)
	for _, s := range strokes {
		i := rank(s, layers)
		groups[i] = append(groups[i], s)
	}
	return groups
}

// rank is the place of a stroke's layer among layers, behind all where it is none.
func rank(s Stroke, layers []string) int {
	if i := slices.Index(layers, s.Layer); i >= 0 {
		return i
	}
	return len(layers)
}

// feed is the least speed that machine, pen and backing allow, in mm/s. Paper is
// not cloth: only a drawing straight on the backing is held to the backing's
// speed.
func (l Laid) feed(p profiles.Pen) float64 {
	f := min(float64(l.Inputs.Machine.Speed.Draw), float64(p.MaxSpeed))
	if l.Settings.Transfer == job.Direct {
		f = min(f, float64(l.Inputs.Backing.MaxSpeed))
	}
	return f
}

// nested groups the strokes of a blade, innermost first, and says how many dots
// it leaves out: a blade that does not move cuts nothing.
func nested(strokes []Stroke) (groups [][]Stroke, dots int) {
	cuts := slices.DeleteFunc(slices.Clone(strokes), func(s Stroke) bool { return s.IsDot() })
	for _, level := range knife.Nest(plain(cuts)) {
		var group []Stroke
		for _, i := range level {
			group = append(group, cuts[i])
		}
		groups = append(groups, group)
	}
	return groups, len(strokes) - len(cuts)
}
