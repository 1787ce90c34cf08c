package plot

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/plot/job"
	"weftplot/plot/loads"
)

// boxes returns what each copy is drawn on, its name with it.
func (k *kitMaker) boxes() []paths.Rect {
	out := make([]paths.Rect, len(k.Copies))
	for i, c := range k.Copies {
		out[i] = boundsOf(c.drawn)
	}
	return out
}

// divide shares the copies out among loads, which it returns by the places of the copies
// in their list.
func (k *kitMaker) divide() ([][]int, error) {
	boxes := k.boxes()
	width, height := k.reach()
	parts := loads.Divide(boxes, width, height)
	if parts == nil {
		return nil, k.tooLarge(boxes)
	}
	if err := k.checkLoads(len(parts)); err != nil {
		return nil, err
	}
	k.renumber(parts)
	return parts, nil
}

// make divides the copies into loads and makes the programs of each.
func (k *kitMaker) make(ctx context.Context, opt Options) (Job, error) {
	parts, err := k.divide()
	if err != nil {
		return Job{}, err
	}
	var whole Job
	left := k.ticks
	for n, part := range parts {
		load, err := k.load(ctx, opt, n+1, len(parts), part, left)
		if err != nil {
			if len(parts) > 1 {
				err = fault.At(fmt.Sprintf("load %d", n+1), err)
			}
			return Job{}, err
		}
		left = withoutReached(left, load.part.reached)
		whole.Loads = append(whole.Loads, load)
		whole.PenRuns = append(whole.PenRuns, load.PenRuns...)
	}
	if n := len(left); n > 0 {
		k.Notes = append(k.Notes, Doubt{Code: "ticks-left-out", Message: fmt.Sprintf("%d ticks where the cloth is cut are left out, where the pen does not reach: cut there along a thread, half the gap from the rug", n)})
	}
	first := k.patterns[patternKey{k.sizes[0], false}].joined
	first.Settings, first.Inputs = k.laid.Settings, k.laid.Inputs
	whole.Fitted.Joined = first
	whole.Registration = whole.Loads[0].Registration
	if len(parts) == 1 && len(whole.Loads[0].Inputs.Marks) == 0 {
		whole.Settings.At = whole.Loads[0].Settings.At
	}
	whole.Kit = &k.Kit
	return whole, nil
}

// reach returns how much of the cloth the machine reaches as the cloth lies on it, across
// and along, in mm.
func (k *kitMaker) reach() (width, height float64) {
	r := k.laid.Inputs.Machine.Reach()
	if k.laid.Settings.Lay == job.LaidTurned {
		return r.Height(), r.Width()
	}
	return r.Width(), r.Height()
}

func withoutReached(ticks []paths.Stroke, reached []int) []paths.Stroke {
	var out []paths.Stroke
	for i, t := range ticks {
		if _, found := slices.BinarySearch(reached, i); !found {
			out = append(out, t)
		}
	}
	return out
}

// checkLoads refuses what is said of loads that are not there.
func (k *kitMaker) checkLoads(n int) error {
	for _, load := range slices.Sorted(maps.Keys(k.laid.Inputs.MarksFor)) {
		if load > n {
			return fault.Bad("marks-for", fmt.Sprintf("loads are numbered from 1 to %d", n), "there is no load %d", load)
		}
		if load == 1 && len(k.laid.Inputs.Marks) > 0 {
			return fault.Bad("marks-for", "leave out one of the two", "the marks of load 1 are given twice")
		}
	}
	if n > 1 && len(k.laid.Settings.At) > 0 {
		return fault.Bad("at", "leave it out: the report says for each load where the cloth is to be laid", "the copies are drawn in %d loads, and a place is for one", n)
	}
	return nil
}

// tooLarge is the fault of a copy that the machine does not reach all of.
func (k *kitMaker) tooLarge(boxes []paths.Rect) error {
	width, height := k.reach()
	i := max(0, slices.IndexFunc(boxes, func(b paths.Rect) bool { return b.Width() > width || b.Height() > height }))
	c, m := k.Copies[i], k.laid.Inputs.Machine
	on := paths.Point{X: boxes[i].Width(), Y: boxes[i].Height()} // as it lies on the machine
	if k.laid.Settings.Lay == job.LaidTurned {
		on.X, on.Y = on.Y, on.X
	}
	j := k.patterns[patternKey{k.sizes[i], c.Turned}].joined
	f := j.Laid.fitting(paths.Rect{Max: on}, j.Rug, false)
	f.Settings = k.laid.Settings
	return fault.TooBig("machine "+m.Name, f.Advice(m.Name), "copy %d with its name is %s and the pen reaches %s: %s",
		c.N, f.Sides(f.All), f.Sides(f.Reach), f.Beyond())
}

// renumber tells each copy its load.
func (k *kitMaker) renumber(parts [][]int) {
	for n, part := range parts {
		for _, i := range part {
			k.Copies[i].Load = n + 1
		}
	}
}

// load makes the programs of one load, in a frame of its own: channel 0 runs through the
// lower left corner of its lowest rug on the left.
func (k *kitMaker) load(ctx context.Context, opt Options, n, of int, part []int, ticks []paths.Stroke) (Load, error) {
	m := k.laid.Inputs.Machine
	l := Load{N: n, Origin: weave.Place{Across: math.Inf(1), Along: math.Inf(1)}, corner: map[int]weave.Place{}}
	var boxes []paths.Rect
	all, rugs := paths.EmptyRect(), paths.EmptyRect()
	for _, i := range part {
		c := k.Copies[i]
		l.corner[c.N] = c.At
		l.Origin.Across, l.Origin.Along = min(l.Origin.Across, c.At.Across), min(l.Origin.Along, c.At.Along)
		boxes = append(boxes, boundsOf(c.drawn))
		all, rugs = all.Union(boundsOf(c.drawn)), rugs.Union(c.Rug)
	}
	origin := k.grid.At(l.Origin)
	home := paths.Translate(origin.Mul(-1))
	j := Joined{Snapped: Snapped{Laid: k.laid, Rug: paths.Rect{Max: rugs.Max.Sub(origin)}}}
	j.part = &loadPart{number: n, of: of, titles: map[int]string{}}
	j.part.rug = k.patterns[patternKey{k.sizes[0], false}].joined.Rug
	for _, i := range part {
		c := k.Copies[i]
		j.part.titles[c.N] = c.Title()
		for _, s := range c.drawn {
			j.Drawn = append(j.Drawn, Stroke{s.Transform(home), s.Layer})
			j.part.copies = append(j.part.copies, c.N)
		}
		for _, s := range c.byHand {
			j.ByHand = append(j.ByHand, Stroke{s.Transform(home), s.Layer})
		}
	}
	for _, t := range ticks {
		j.part.ticks = append(j.part.ticks, Stroke{t.Transform(home), CutsLayer})
	}
	k.lay(&j, n, l.Origin, all.Min.Sub(origin), all.Max.Sub(origin))
	corner := m.ParkAt()
	for _, i := range loads.Tour(moved(boxes, home, j.Settings), paths.Point{}, corner) {
		l.Copies = append(l.Copies, k.Copies[part[i]].N)
	}
	j.part.order = l.Copies
	var err error
	if l.Job, err = finish(ctx, j, opt); err != nil {
		return Load{}, err
	}
	l.At = l.PlaceOf(weave.Place{})
	for _, i := range l.part.reached {
		l.Ticks = append(l.Ticks, ticks[i])
	}
	return l, nil
}

// moved returns the boxes about where they will lie on the machine.
func moved(boxes []paths.Rect, home paths.Affine, s job.Settings) []paths.Rect {
	if s.Lay == job.LaidTurned {
		home = home.Then(quarter)
	}
	if len(s.At) == 2 {
		home = home.Then(paths.Translate(paths.Point{X: float64(s.At[0]), Y: float64(s.At[1])}))
	}
	out := make([]paths.Rect, len(boxes))
	for i, b := range boxes {
		out[i] = paths.RectOf(home.Apply(b.Min), home.Apply(b.Max))
	}
	return out
}

// lay says where the load lies: by its marks, or as the settings say, or in the middle of
// the machine's reach.
func (k *kitMaker) lay(j *Joined, n int, origin weave.Place, lo, hi paths.Point) {
	marks := j.Inputs.MarksFor[n]
	j.Settings.Marks = j.Settings.MarksFor[strconv.Itoa(n)]
	if n == 1 && len(j.Inputs.Marks) > 0 {
		marks, j.Settings.Marks = j.Inputs.Marks, k.laid.Settings.Marks
	}
	j.Inputs.Marks = slices.Clone(marks)
	for i := range j.Inputs.Marks {
		at := &j.Inputs.Marks[i].Place
		at.Across, at.Along = at.Across-origin.Across, at.Along-origin.Along
	}
	if len(j.Inputs.Marks) == 0 && len(j.Settings.At) == 0 {
		at := middle(j.Inputs.Machine.Reach(), paths.Rect{Min: lo, Max: hi}, j.Settings.Lay)
		if j.Settings.Lay == job.LaidTurned {
			lo.X, lo.Y = -lo.Y, lo.X
		}
		j.Settings.At = []paths.Length{at[0] - hundredth(lo.X), at[1] - hundredth(lo.Y)}
	}
}
