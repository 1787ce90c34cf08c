package plot

import (
	"errors"
	"fmt"
	"maps"
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

// A Find is a place of the cloth to be found by the machine before a load is drawn.
type Find struct {
	Name  string // what a person looks for
	Place weave.Place
	// Thread tells a crossing of threads, counted, from one of ink.
	Thread bool
	// Loose is how far ink of earlier loads may lie beside a thread, in mm each way, root
	// mean square (see [cloth.Loose]); 0 for ink.
	Loose float64
}

// mostPoints is how many points are asked for at most.
const mostPoints = 22

// find says what is to be found for a load: ink that makes its joints sure, and threads that
// make all of it sure. Before is what earlier loads draw.
func (l *Load) find(plan panels.Plan, j Joined, before []paths.Stroke) error {
	l.Box = both(l.Window, boundsOf(j.Drawn))
	f := finding.Load{Grid: j.Grid, Box: l.Box, Meets: l.Meets, Bow: panels.SlackBow}
	var ink []weave.Place
	var names []string
	findable, err := plan.Findable(l.N - 1)
	if err != nil {
		return err
	}
	for _, p := range findable {
		ink, names = append(ink, weave.Place{Across: float64(p.Across), Along: float64(p.Along)}), append(names, p.Name)
	}
	for _, c := range f.Corners(before, ink) {
		what := "corner of lines"
		if c.End {
			what = "end of a line"
		}
		ink, names = append(ink, c.Place), append(names, fmt.Sprintf("%s at %.1f across, %.1f along", what, c.Place.Across, c.Place.Along))
	}
	points, err := f.Choose(ink, mostPoints)
	if err != nil {
		return err
	}
	for _, p := range points.List {
		if p.Ink >= 0 {
			l.Points = append(l.Points, Find{Name: names[p.Ink], Place: p.Place})
		} else {
			thread := Find{Name: fmt.Sprintf("thread %.0f across and thread %.0f along", p.Place.Across, p.Place.Along), Place: p.Place, Thread: true}
			if len(l.Meets) > 0 {
				thread.Loose = finding.InkBesideThread
			}
			l.Points = append(l.Points, thread)
		}
	}
	l.Enough, l.Foreseen = points.Enough, points.AtJoints
	return nil
}

// loose returns which of the load's points are loose, and by how much.
func (l *Load) loose() (out []cloth.Loose) {
	for _, f := range l.Points {
		if f.Loose > 0 {
			out = append(out, cloth.Loose{Place: f.Place, By: f.Loose})
		}
	}
	return out
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

// agreeing is how far apart, in channels, the lines of a load may come at its joints by its
// ink and by all its marks, beside what the ink alone leaves unsure. Ink that was drawn by
// the nominal count on cloth that did not lie so is off by several; the error of a load that
// was found by its points is less.
const agreeing = 1.

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
	if err == nil && finding.Apart(l.Meets, r.Registration, byInk, j.Grid) <= max(agreeing, unsure) {
		return r, nil
	}
	return p.goesOn(j, l, r, err, ink, threads)
}

// clothLeans is by how much a drawing may lean on the threads where it was drawn by the
// nominal count: as much as cloth does (common practice, as in [cloth.Prior]).
const clothLeans = 0.03

// goesOn registers a load by its ink and, away from it, by its threads as the ink numbers
// them. Where that cannot be it returns what there is by all marks.
func (p *panelMaker) goesOn(j Joined, l *Load, all Registered, allErr error, ink, threads []cloth.Mark) (Registered, error) {
	for _, beside := range []float64{0.25, 0.4, 0.6} {
		numbered, err := finding.Renumbered(ink, threads, beside, clothLeans, j.FitOptions())
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

// own returns how many of the load's points have marks.
func (l *Load) own(marks []cloth.Mark) (own int) {
	for _, f := range l.Points {
		if slices.ContainsFunc(marks, func(m cloth.Mark) bool {
			return search.Same(m.Place, f.Place)
		}) {
			own++
		}
	}
	return own
}

// Foreign reports whether marks are those of something else: the load has points, and none
// of the marks is at one of them.
func (l *Load) Foreign(marks []cloth.Mark) bool {
	return len(l.Points) > 0 && l.own(marks) == 0
}

// leastOwn is how many of the marks of a load must be at its own points at least.
const leastOwn = 4

// Owns refuses marks, with a [fault.Input], that are not those of the load's own points.
func (l *Load) Owns(marks []cloth.Mark) error {
	own := l.own(marks)
	if least := min(leastOwn, len(l.Points)); own < least {
		return fault.Bad("", fmt.Sprintf("find the points that report.json lists for load %d", l.N), "these marks are not those of load %d: of its %d points they hold %d, and %d are the least", l.N, len(l.Points), own, least)
	}
	return nil
}
