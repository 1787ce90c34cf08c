package plot

import (
	"context"
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
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

// MostJointError is the error to expect at the joints, in channels, over which the marks of
// a load are refused.
const MostJointError = search.MostError

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
	p, err := dividedMaker(ctx, laid, opt)
	if err != nil {
		return Job{}, err
	}
	if p.whole() {
		return p.single(ctx, opt)
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
	if err := (search.Load{Meets: l.Meets, Over: l.over()}).Refused(r.Registration); err != nil {
		return fault.At(file, err)
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

// part returns what a load draws, as a drawing of its own that counts from the same corner.
func (p *panelMaker) part(l *Load) Joined {
	j := p.joined
	j.Drawn, j.ByHand = l.Drawn, nil
	j.part = &loadPart{number: l.N, of: len(p.loads), rug: j.Rug, layers: layersOf(p.joined.Drawn), box: l.Window, loose: l.loose(), over: search.Over(j.Grid.PlaceOf(l.Box.Min), j.Grid.PlaceOf(l.Box.Max))}
	return j
}

// divide parts the drawing into loads, and says what is to be found for each.
func (p *panelMaker) divide(ctx context.Context) error {
	j := p.joined
	all := boundsOf(j.Drawn)
	w, h := panels.WindowOf(j.Inputs.Machine.Reach(), all)
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
	if err := cores.Each(ctx, len(p.loads), func(n int) error {
		var before []paths.Stroke
		for k := range n { // of whose loads nothing else may be read: it is being found
			before = append(before, plain(p.loads[k].Drawn)...)
		}
		return p.loads[n].find(plan, j, before)
	}); err != nil {
		return err
	}
	return nil
}

// What a load must reach at least, in mm, and how many a rug may take.
const (
	leastWindow = 60.
	mostLoads   = 200
)

// wordOf returns the number of the words that a stroke is of, from 1, and 0 for none.
func (j Joined) wordOf(stroke int) int {
	if stroke < len(j.words) {
		return j.words[stroke]
	}
	return 0
}

// SketchPanels divides a rug into loads without making programs: the whole rug as one
// drawing that lies as it is counted, and what of it each load draws. It returns no loads
// where the machine reaches all of the rug, which lies on the machine then.
func SketchPanels(ctx context.Context, laid Laid, opt Options) (r Registered, p Panels, loads []Load, err error) {
	m, err := dividedMaker(ctx, laid, opt)
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
