package plot

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
	"weftplot/plot/job"
	"weftplot/plot/loads"
)

// Load is one laying of the cloth on the machine. Its job is in a frame of its own, whose
// channel 0 is Origin of the whole cloth.
type Load struct {
	N      int   // from 1
	Copies []int // the numbers of those drawn in it, in their order
	Origin weave.Place
	// At is where channel 0 of the whole cloth's drawing lies on the machine, in mm.
	At paths.Point
	// Ticks are those that are drawn in it, in mm on the whole cloth.
	Ticks []paths.Stroke
	// Of a rug in several loads: Window is what of the cloth is drawn and looked at in this
	// load, in mm on the cloth, and Box the part of it that the rug fills. NeedsMarks tells that it has no programs before its marks
	// are found. Points are to be found, in their order; the first Enough of them are
	// likely to make the joints sure, 0 where only all may. Meets is where its strokes meet
	// those drawn before. Expected is the error to expect there, in channels, and Foreseen
	// what it will be once all points are found; 0 is not known.
	Window, Box        paths.Rect
	NeedsMarks         bool
	Points             []Find
	Enough             int
	Meets              []cloth.Passage
	Expected, Foreseen float64
	Job

	corner map[int]weave.Place // of each copy
}

// PlaceOf returns where a place of the whole cloth lies on the machine in this load, in
// mm.
func (l Load) PlaceOf(p weave.Place) paths.Point {
	return l.Registration.Point(weave.Place{Across: p.Across - l.Origin.Across, Along: p.Along - l.Origin.Along})
}

// Lowest returns the number of the copy that lies lowest in the load, the one on the left
// of several.
func (l Load) Lowest() int {
	return slices.MinFunc(l.Copies, func(a, b int) int {
		p, q := l.corner[a], l.corner[b]
		return cmp.Or(cmp.Compare(p.Along, q.Along), cmp.Compare(p.Across, q.Across))
	})
}

// A loadPart is what a load knows of its kit, or of the rug that it is a part of.
type loadPart struct {
	number, of int
	rug        paths.Rect // the size of the first copy, or of the whole rug
	layers     []string   // of the whole rug, some of which may have nothing in this load; nil in a kit
	box        paths.Rect // that a part of a rug and its points lie in
	loose      []cloth.Loose
	over       []weave.Place // all over what it draws

	// Of a kit:
	order   []int // the copies, in the order of drawing
	titles  map[int]string
	copies  []int    // of each of Drawn
	ticks   []Stroke // that are drawn where the machine reaches them
	reached []int    // the numbers of those that it does
}

// isKit reports whether a load is one of a kit.
func (p *loadPart) isKit() bool { return p != nil && p.titles != nil }

// layers returns the names of all layers of the job.
func (j Joined) layers() []string {
	if j.part != nil && j.part.layers != nil {
		return j.part.layers
	}
	return layersOf(slices.Concat(j.Drawn, j.part.wantedTicks()))
}

// copyOf returns the copy that a stroke is of, by its number among the strokes placed.
func (p *loadPart) copyOf(stroke int) int {
	if stroke < len(p.copies) {
		return p.copies[stroke]
	}
	return 0
}

func (p *loadPart) wantedTicks() []Stroke {
	if p == nil {
		return nil
	}
	return p.ticks
}

// remark says in a program which copy comes.
func (p *loadPart) remark(n int) string {
	if n == 0 {
		return "ticks where the cloth is cut"
	}
	return "copy " + label.Clean(p.titles[n], label.Remark)
}

// groups returns the strokes of a pen one copy after the other, the border of each first,
// and the ticks last.
func (p *loadPart) groups(t Tour, first []string) (groups [][]Stroke, copies []int) {
	of := map[int][]Stroke{}
	for i, s := range t.Asked {
		of[t.Copies[i]] = append(of[t.Copies[i]], s)
	}
	for _, n := range append(slices.Clone(p.order), 0) {
		for _, group := range inTurn(of[n], first) {
			if len(group) > 0 {
				groups, copies = append(groups, group), append(copies, n)
			}
		}
	}
	return groups, copies
}

// addTicks adds those ticks of a load that the machine reaches.
func (r *Registered) addTicks() {
	p := r.part
	if p == nil {
		return
	}
	reach := r.Inputs.Machine.Reach()
	r.Drawn = slices.Clip(r.Drawn)
	for i, t := range p.ticks {
		placed := Stroke{r.OnMachine(t.Stroke), t.Layer}
		if by, _ := reach.Excess(placed.Bounds()); by == 0 {
			p.reached = append(p.reached, i)
			r.Drawn, r.Placed = append(r.Drawn, t), append(r.Placed, placed)
		}
	}
}

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

// over returns places all over what a part of a rug draws; none of a kit.
func (l Load) over() []weave.Place {
	if l.Box.IsEmpty() || l.Box.Width() == 0 {
		return nil
	}
	return search.Over(l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max))
}

// ToFind returns what is to be found on the cloth before the load is drawn, and how marks at
// it are fitted. Places are counted on the whole cloth. Copies on one cloth have no points
// that are listed: any counted crossings of channels do.
func (l Load) ToFind() (search.Load, cloth.FitOptions) {
	out := search.Load{At: l.PlaceOf, Meets: l.Meets, Over: l.over()}
	for _, f := range l.Points {
		out.Points = append(out.Points, search.Point{Name: label.Clean(f.Name, label.Line), Place: f.Place})
	}
	opt := l.FitOptions()
	opt.From.Across, opt.From.Along = opt.From.Across+l.Origin.Across, opt.From.Along+l.Origin.Along
	return out, opt
}
