package plot

import (
	"context"
	"errors"
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
	"weftplot/plot/finding"
	"weftplot/plot/panels"
)

// Panels is a rug that is drawn in parts, each in one laying of the cloth on the machine,
// in the frame "drawn" of the whole rug: channel 0 runs through its lower left corner.
type Panels struct {
	Joints []Joint
	// Notes are what a person should know of the division.
	Notes []Doubt
}

// Joint is where two parts of a stroke meet.
type Joint struct {
	At    paths.Point // in mm on the cloth
	Along paths.Point // the stroke's direction there
	Loads [2]int      // that draw the parts, from 1, the earlier one first
}

// A Find is a place of the cloth to be found by the machine before a load is drawn.
type Find struct {
	Name  string // what a person looks for
	Place weave.Place
	// Thread tells a crossing of threads, counted, from one of ink.
	Thread bool
}

// How cloth may lie anew in each load: how far it may be shifted, in mm, turned, in
// degrees, and lean, bow and change its count, as shares of its size.
const (
	slackShift = 30. + 10. // the second is for how far a map may go astray far from its marks
	slackTurn  = 3.
	slackLean  = 0.02
	slackBow   = 0.02
	slackCount = 0.01
)

// MostJointError is the error to expect at the joints, in channels, over which the marks of
// a load are refused.
const MostJointError = search.MostError

// windowOf returns how much of a rug can be drawn in one load, in mm, however the cloth
// comes to lie within the slack: sides below zero where nothing can. A rug that is narrower
// than the window leaves more room the other way.
func windowOf(reach, rug paths.Rect) (width, height float64) {
	w, h := reach.Width()-2*slackShift, reach.Height()-2*slackShift
	stretch, skew := 1+slackCount, math.Sin(slackTurn*math.Pi/180)+slackLean+slackBow
	// stretch·width + skew·height = w, and skew·width + stretch·height = h
	det := stretch*stretch - skew*skew
	width, height = (stretch*w-skew*h)/det, (stretch*h-skew*w)/det
	switch {
	case rug.Width() < width:
		return width, (h - skew*rug.Width()) / stretch
	case rug.Height() < height:
		return (w - skew*rug.Height()) / stretch, height
	}
	return width, height
}

// A panelMaker makes a rug in several loads.
type panelMaker struct {
	Panels
	joined Joined
	loads  []Load
}

// newPanelMaker draws the rug.
func newPanelMaker(ctx context.Context, laid Laid, opt Options) (*panelMaker, error) {
	for _, layer := range laid.layersDrawn() {
		if pen, err := laid.PenFor(layer); err == nil && pen.Blade {
			return nil, fault.Bad("panels", "cut a pattern that fits the machine, or give another [pen]", "%s cuts, and what is cut in two does not lie in place for the next load", pen.Name)
		}
	}
	joined, err := drawing(ctx, laid, opt)
	if err != nil {
		return nil, err
	}
	if err := pensKnown(joined); err != nil {
		return nil, err
	}
	p := &panelMaker{joined: joined.fromCorner()}
	p.joined.Settings.Lap = paths.Length(laid.Settings.LapMM()) // the job file says what was decided
	return p, nil
}

// whole reports whether the machine reaches all of the rug.
func (p *panelMaker) whole() bool {
	return reaches(p.joined.Inputs.Machine.Reach(), boundsOf(p.joined.Drawn))
}

// makePanels makes a job of a rug that is drawn in as many loads as it needs.
func makePanels(ctx context.Context, laid Laid, opt Options) (Job, error) {
	p, err := newPanelMaker(ctx, laid, opt)
	if err != nil {
		return Job{}, err
	}
	if p.whole() {
		return p.single(ctx, opt)
	}
	if err := p.divide(ctx); err != nil {
		return Job{}, err
	}
	return p.make(ctx, opt)
}

// reaches reports whether the reach of a machine is as large as what is to be drawn.
func reaches(reach, all paths.Rect) bool {
	const slack = 1e-6
	return all.Width() <= reach.Width()+slack && all.Height() <= reach.Height()+slack
}

// fromCorner returns the drawing with channel 0 through the lower left corner of the rug.
func (j Joined) fromCorner() Joined {
	at := j.Grid.PlaceOf(j.Rug.Min)
	home := j.Grid.At(weave.Place{Across: math.Round(at.Across), Along: math.Round(at.Along)}).Mul(-1)
	if home == (paths.Point{}) {
		return j
	}
	j.Rug = paths.Rect{Min: j.Rug.Min.Add(home), Max: j.Rug.Max.Add(home)}
	move := func(strokes []Stroke) []Stroke {
		out := make([]Stroke, len(strokes))
		for i, s := range strokes {
			out[i] = Stroke{s.Transform(paths.Translate(home)), s.Layer}
		}
		return out
	}
	j.Drawn, j.ByHand = move(j.Drawn), move(j.ByHand)
	return j
}

// single makes the job of a rug that the machine reaches all of.
func (p *panelMaker) single(ctx context.Context, opt Options) (Job, error) {
	j, err := p.onlyLoad()
	if err != nil {
		return Job{}, err
	}
	made, err := finish(ctx, j, opt)
	if err != nil {
		return Job{}, err
	}
	made.Inputs, made.Settings = p.joined.Inputs, p.joined.Settings
	made.Panels = &p.Panels
	load := Load{N: 1, Job: made, Window: made.Rug}
	load.At = made.Registration.Point(weave.Place{})
	made.Loads = []Load{load}
	return made, nil
}

// onlyLoad returns the drawing of a rug in a single load, with the marks of that load.
func (p *panelMaker) onlyLoad() (Joined, error) {
	j := p.joined
	if err := p.checkMarksFor(1); err != nil {
		return j, err
	}
	if marks := j.Inputs.MarksFor[1]; len(marks) > 0 {
		j.Inputs.Marks, j.Settings.Marks = marks, j.Settings.MarksFor["1"]
	}
	return j, nil
}

// checkMarksFor refuses marks of loads that are not there, marks of load 1 that are given
// twice, and marks of a load before those of the one before it.
func (p *panelMaker) checkMarksFor(loads int) error {
	in := p.joined.Inputs
	for _, n := range slices.Sorted(maps.Keys(in.MarksFor)) {
		switch {
		case n > loads && loads == 1:
			return fault.Bad("marks-for", "leave them out, or give those of this load with [marks]", "there is no load %d: all of the rug is drawn in one", n)
		case n > loads:
			return fault.Bad("marks-for", fmt.Sprintf("loads are numbered from 1 to %d", loads), "there is no load %d", n)
		case n == 1 && len(in.Marks) > 0:
			return fault.Bad("marks-for", "leave out one of the two", "the marks of load 1 are given twice")
		case n > 2 && len(in.MarksFor[n-1]) == 0:
			return fault.Bad("marks-for", fmt.Sprintf("draw load %d first: its ink is among what load %d is found by", n-1, n), "the marks of load %d are given, and those of load %d are not", n, n-1)
		}
	}
	return nil
}

// marksOf returns the marks of a load and the file that they are from.
func (p *panelMaker) marksOf(n int) ([]cloth.Mark, string) {
	in, s := p.joined.Inputs, p.joined.Settings
	if n == 1 && len(in.Marks) > 0 {
		return in.Marks, s.Marks
	}
	return in.MarksFor[n], s.MarksFor[strconv.Itoa(n)]
}

// make makes the loads one after the other.
func (p *panelMaker) make(ctx context.Context, opt Options) (Job, error) {
	if err := p.checkMarksFor(len(p.loads)); err != nil {
		return Job{}, err
	}
	whole := Job{}
	whole.Fitted.Joined = p.joined
	for i := range p.loads {
		l := &p.loads[i]
		if err := p.draw(ctx, l, opt); err != nil {
			return Job{}, fault.At(fmt.Sprintf("load %d", l.N), err)
		}
		whole.PenRuns = append(whole.PenRuns, l.PenRuns...)
	}
	whole.Loads, whole.Panels = p.loads, &p.Panels
	whole.Registration = p.loads[0].Registration
	return whole, nil
}

// draw makes the programs of a load, or says that it waits for its marks.
func (p *panelMaker) draw(ctx context.Context, l *Load, opt Options) error {
	j, marks, file := p.part(l), []cloth.Mark(nil), ""
	marks, file = p.marksOf(l.N)
	j.Inputs.Marks, j.Settings.Marks = marks, file
	if len(marks) > 0 && l.N > 1 {
		if err := l.Owns(marks); err != nil {
			return fault.At(file, err)
		}
	}
	if len(marks) == 0 {
		at := middle(j.Inputs.Machine.Reach(), l.Window, "")
		j.Settings.At = []paths.Length{hundredth(float64(at[0]) + j.Rug.Min.X - l.Window.Min.X), hundredth(float64(at[1]) + j.Rug.Min.Y - l.Window.Min.Y)}
	}
	if err := opt.begin(ctx, Registering); err != nil {
		return err
	}
	r, err := p.register(j, l)
	if err != nil {
		return err
	}
	l.At = r.Registration.Point(weave.Place{})
	if l.Expected > MostJointError && len(l.Meets) > 0 {
		return fault.At(file, fault.Bad("", "find more of its points, or find them again with care", "with these marks an error of %.2f channels is to be expected at the joints, and over %.1f a joint shows", l.Expected, MostJointError))
	}
	if x := (search.Load{Over: l.over()}).ErrorOver(r.Registration); x > search.MostOver {
		return fault.At(file, fault.Bad("", "find more of its points", "far from these marks lines may lie %.1f channels from where they belong, and over %.1f is refused", x, search.MostOver))
	}
	if l.N > 1 && len(marks) == 0 {
		l.NeedsMarks = true
		l.Job.Fitted.Ordered.Registered = r
		return nil
	}
	if err := opt.begin(ctx, Ordering); err != nil {
		return err
	}
	ordered, err := Order(ctx, r, opt)
	if err != nil {
		return err
	}
	l.Job, err = letOut(ctx, ordered, opt)
	return err
}

// agreeing is how far apart, in channels, the lines of a load may come at its joints by its
// ink and by all its marks, beside what the ink alone leaves unsure.
const agreeing = 0.2

// register registers a load. Ink that an earlier load drew by the nominal count may
// contradict the threads: the load goes on from its ink then, so that lines meet, and its
// threads tell only how the cloth bends elsewhere.
func (p *panelMaker) register(j Joined, l *Load) (Registered, error) {
	r, err := Register(j)
	if err == nil {
		l.Expected = search.ErrorAt(r.Registration, l.Meets)
	}
	ink, threads := l.inkAndThreads(j.Inputs.Marks)
	if len(l.Meets) == 0 || len(ink) < leastOwn || len(threads) == 0 {
		return r, err
	}
	byInk, inkErr := cloth.Fit(ink, j.FitOptions())
	if inkErr != nil {
		return r, err
	}
	unsure := search.ErrorAt(byInk, l.Meets)
	if err == nil && l.Expected <= MostJointError && apartAt(l.Meets, r.Registration, byInk, j.Grid) <= max(agreeing, unsure) {
		return r, nil
	}
	return p.goesOn(j, l, r, err, ink, threads)
}

// goesOn registers a load by its ink and, away from it, by its threads as the ink numbers
// them. Where that cannot be it returns what there is by all marks.
func (p *panelMaker) goesOn(j Joined, l *Load, all Registered, allErr error, ink, threads []cloth.Mark) (Registered, error) {
	for _, beside := range []float64{0.25, 0.4, 0.6} {
		numbered, err := finding.Renumbered(ink, threads, beside, j.FitOptions())
		if err != nil {
			break
		}
		j.Inputs.Marks = slices.Concat(ink, numbered)
		r, err := Register(j)
		if errors.Is(err, fault.Fit) {
			return all, err // the cloth lies where the machine does not reach all of the load
		}
		if err != nil {
			continue
		}
		if expected := search.ErrorAt(r.Registration, l.Meets); expected <= MostJointError {
			l.Expected = expected
			p.Notes = append(p.Notes, l.inkBesideThreads())
			return r, nil
		}
	}
	return all, allErr
}

func (l *Load) inkBesideThreads() Doubt {
	return Doubt{Code: "ink-beside-threads", Message: fmt.Sprintf("the ink that load %d is found by does not lie on the threads that were counted: it goes on from the ink, so lines meet, and they leave their channels as those before do. Where the first load is found by its threads, lines stay in their channels", l.N)}
}

// inkAndThreads parts marks into those at ink and those at the load's threads.
func (l *Load) inkAndThreads(marks []cloth.Mark) (ink, threads []cloth.Mark) {
	for _, m := range marks {
		if slices.ContainsFunc(l.Points, func(f Find) bool { return f.Thread && search.Same(f.Place, m.Place) }) {
			threads = append(threads, m)
		} else {
			ink = append(ink, m)
		}
	}
	return ink, threads
}

// apartAt returns how far apart two registrations put lines at the most, in channels.
func apartAt(lines []cloth.Passage, a, b cloth.Registration, g weave.Grid) float64 {
	most := 0.
	for _, l := range lines {
		at := g.PlaceOf(a.Point(l.Place).Sub(b.Point(l.Place)))
		along := paths.Point{X: l.Along.Across, Y: l.Along.Along}.Unit()
		most = max(most, math.Abs(along.Cross(paths.Point{X: at.Across, Y: at.Along})))
	}
	return most
}

// leastOwn is how many of the marks of a load must be at its own points at least.
const leastOwn = 4

// Owns refuses marks, with a [fault.Input], that are not those of the load's own points.
func (l *Load) Owns(marks []cloth.Mark) error {
	own := 0
	for _, f := range l.Points {
		if slices.ContainsFunc(marks, func(m cloth.Mark) bool {
			return search.Same(m.Place, f.Place)
		}) {
			own++
		}
	}
	if least := min(leastOwn, len(l.Points)); own < least {
		return fault.Bad("", fmt.Sprintf("find the points that report.json lists for load %d", l.N), "these marks are not those of load %d: of its %d points they hold %d, and %d are the least", l.N, len(l.Points), own, least)
	}
	return nil
}

// part returns what a load draws, as a drawing of its own that counts from the same corner.
func (p *panelMaker) part(l *Load) Joined {
	j := p.joined
	j.Drawn, j.ByHand = l.Drawn, nil
	j.part = &loadPart{number: l.N, of: len(p.loads), rug: j.Rug, layers: layersOf(p.joined.Drawn), box: l.Window}
	return j
}

// divide parts the drawing into loads, and says what is to be found for each.
func (p *panelMaker) divide(ctx context.Context) error {
	j := p.joined
	all := boundsOf(j.Drawn)
	w, h := windowOf(j.Inputs.Machine.Reach(), all)
	lap := j.Settings.LapMM()
	if least := leastWindow + 2*lap; w < least || h < least {
		return fault.TooBig("machine "+j.Inputs.Machine.Name, "choose a larger machine", "the pen reaches %s, and with the room that cloth needs which is moved and laid anew %.0f x %.0f mm are left: too little to draw a rug in parts", sidesOf(j.Settings, j.Inputs.Machine.Reach()), max(0, w), max(0, h))
	}
	lines := make([]panels.Stroke, len(j.Drawn))
	for i, s := range j.Drawn {
		lines[i] = panels.Stroke{Stroke: s.Stroke, Word: j.wordOf(i), Name: s.Layer}
	}
	plan, err := panels.Divide(ctx, lines, panels.Options{Grid: j.Grid, Width: w, Height: h, Lap: lap})
	if err != nil {
		return fault.At("machine "+j.Inputs.Machine.Name, err)
	}
	if len(plan.Loads) > mostLoads {
		return fault.TooBig("machine "+j.Inputs.Machine.Name, "choose a larger machine or a smaller size", "the rug would take %d loads, and %d are the most", len(plan.Loads), mostLoads)
	}
	p.loads = make([]Load, len(plan.Loads))
	for n, load := range plan.Loads {
		l := &p.loads[n]
		l.N, l.Window = n+1, load.Window
		for _, part := range load.Parts {
			l.Drawn = append(l.Drawn, Stroke{part.Piece, j.Drawn[part.Stroke].Layer})
		}
	}
	for _, at := range plan.Joints {
		p.Joints = append(p.Joints, Joint{At: at.At, Along: at.Along, Loads: [2]int{at.Loads[0] + 1, at.Loads[1] + 1}})
		l := &p.loads[at.Loads[1]]
		l.Meets = append(l.Meets, cloth.Passage{Place: j.Grid.PlaceOf(at.At), Along: j.Grid.PlaceOf(at.Along)})
	}
	if err := onAllCores(ctx, len(p.loads), func(n int) error {
		var before []paths.Stroke
		for _, l := range p.loads[:n] {
			before = append(before, plain(l.Drawn)...)
		}
		return p.loads[n].find(plan, j, before)
	}); err != nil {
		return err
	}
	p.sayThreadsAlone()
	return nil
}

// What a load must reach at least, in mm, and how many a rug may take.
const (
	leastWindow = 60.
	mostLoads   = 200
)

// mostPoints is how many points are asked for at most.
const mostPoints = 22

// find says what is to be found for a load: ink that makes its joints sure, and threads that
// make all of it sure. Before is what earlier loads draw.
func (l *Load) find(plan panels.Plan, j Joined, before []paths.Stroke) error {
	l.Box = both(l.Window, boundsOf(j.Drawn))
	f := finding.Load{Grid: j.Grid, Box: l.Box, Meets: l.Meets, Bow: slackBow}
	var ink []weave.Place
	var names []string
	findable, err := plan.Findable(l.N - 1)
	if err != nil {
		return err
	}
	for _, p := range findable {
		ink, names = append(ink, weave.Place{Across: float64(p.Across), Along: float64(p.Along)}), append(names, p.Name)
	}
	for _, at := range f.Corners(before, ink) {
		ink, names = append(ink, at), append(names, fmt.Sprintf("corner of lines at %.1f across, %.1f along", at.Across, at.Along))
	}
	points, err := f.Choose(ink, mostPoints)
	if err != nil {
		return err
	}
	for _, p := range points.List {
		if p.Ink >= 0 {
			l.Points = append(l.Points, Find{names[p.Ink], p.Place, false})
		} else {
			l.Points = append(l.Points, Find{fmt.Sprintf("thread %.0f across and thread %.0f along", p.Place.Across, p.Place.Along), p.Place, true})
		}
	}
	l.Enough, l.Foreseen = points.Enough, points.AtJoints
	return nil
}

// both returns what two rectangles have in common.
func both(a, b paths.Rect) paths.Rect {
	return paths.Rect{
		Min: paths.Point{X: max(a.Min.X, b.Min.X), Y: max(a.Min.Y, b.Min.Y)},
		Max: paths.Point{X: min(a.Max.X, b.Max.X), Y: min(a.Max.Y, b.Max.Y)},
	}
}

// sayThreadsAlone notes loads that meet ink drawn by the nominal count and have no ink to be
// found by.
func (p *panelMaker) sayThreadsAlone() {
	if p.onThreads() {
		return
	}
	var on []int
	for _, l := range p.loads {
		ink := 0
		for _, f := range l.Points {
			if !f.Thread {
				ink++
			}
		}
		if len(l.Meets) > 0 && ink < leastOwn {
			on = append(on, l.N)
		}
	}
	if len(on) == 0 {
		return
	}
	which := fmt.Sprintf("load %d has hardly any ink to be found by, and its", on[0])
	if len(on) > 1 {
		which = fmt.Sprintf("loads %s have hardly any ink to be found by, and their", label.Numbers(on))
	}
	p.Notes = append(p.Notes, Doubt{Code: "found-by-threads-alone", Message: which + " lines meet those before only if load 1 lies on the threads: find load 1 by its threads first, [marks-for] 1=FILE, or lay the cloth for it square and count it"})
}

// onThreads reports whether the first load is found by its threads.
func (p *panelMaker) onThreads() bool {
	return len(p.joined.Inputs.Marks)+len(p.joined.Inputs.MarksFor[1]) > 0
}

// wordOf returns the number of the words that a stroke is of, from 1, and 0 for none.
func (j Joined) wordOf(stroke int) int {
	if stroke < len(j.words) {
		return j.words[stroke]
	}
	return 0
}
