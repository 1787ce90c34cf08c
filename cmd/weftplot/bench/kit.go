package bench

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/paths"
	"weftplot/plot"
	"weftplot/plot/folder"
	"weftplot/plot/job"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// namesFile is what a kit's list of names is called in a job folder.
const namesFile = "names.csv"

// kitSketch is the cloth of a kit before its programs are made.
type kitSketch struct {
	whole plot.Registered // the whole cloth as one drawing
	kit   plot.Kit
	// Of a rug in several loads.
	panels *plot.Panels
	loads  []plot.Load
}

// sketchKit sketches one rug of a kit, and the whole cloth.
func (e engine) sketchKit(ctx context.Context, in job.Inputs, s job.Settings) (r plot.Registered, kit *kitSketch, err error) {
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
	kit = &kitSketch{}
	kit.whole, kit.kit, err = plot.SketchKit(ctx, laid)
	return r, kit, err
}

// setNames sets whom the copies are for: a list as a person types it, a name a line.
func (j *task) setNames(text string) error {
	s := &j.settings
	held := map[string][]byte{}
	for k, v := range j.bytes {
		if k != namesFile {
			held[k] = v
		}
	}
	if s.Names = ""; text != "" {
		data := []byte(text + "\n")
		if _, err := job.ParseNames("", data); err != nil {
			return unnamed(err)
		}
		held[namesFile] = data
		s.Names, s.Copies, s.At = namesFile, 0, nil
	}
	j.bytes, j.read = held, reader(held, j.dir)
	j.singleAgain()
	return nil
}

// singleAgain drops what is said of a cloth for copies where there is a single rug.
func (j *task) singleAgain() {
	s := &j.settings
	if !s.IsKit() {
		s.Cloth, s.Gap, s.Turn = "", "", false
	}
	if !s.IsKit() && !s.Panels {
		s.MarksFor = nil
	}
	if !s.Panels {
		s.Lap = 0
	}
}

// part is what of a kit is to be drawn: a load, 0 for the next that is due, or some
// copies only, such as "7" or "3,8-12"; "" is all of them.
type part struct {
	Load   int    `json:"load"`
	Copies string `json:"copies"`
}

// programs returns those that draw the part.
func (p part) programs(all []folder.Program, m profiles.Machine) ([]folder.Program, error) {
	chosen, err := sending.OfKit(terminal.Streams{Err: io.Discard}, all, m,
		sending.KitPart{Load: p.Load, LoadSaid: p.Load > 0, Copies: strings.TrimSpace(p.Copies), Kept: true})
	if err != nil {
		return nil, unnamed(err)
	}
	var out []folder.Program
	for _, c := range chosen {
		out = append(out, c.Program)
	}
	return out, nil
}

// halfOfPart refuses to draw a part of a kit that is half drawn, and to resume one that
// is not. A single rug was looked at before.
func halfOfPart(do string, programs []folder.Program, m profiles.Machine) error {
	if programs[0].Load == 0 {
		return nil
	}
	var lying []journals.Program
	for _, p := range programs {
		lying = append(lying, journals.Program{File: p.File, Job: device.Job{Program: p.Program, Text: p.Text, Machine: m, Marks: p.Marks}})
	}
	s, err := journals.Look(lying)
	if err != nil {
		return err
	}
	return mayInk(do, s.Begun)
}

// planned is what a program will draw.
type planned struct {
	strokes     int
	mm, seconds float64
}

// plannedOf foretells a program of the job, or one that draws some of its copies.
func (j *task) plannedOf(p folder.Program, m profiles.Machine) planned {
	for _, r := range j.made.PenRuns {
		if filepath.Join(j.dir, r.File) == p.File {
			return planned{r.Totals.Strokes, r.Totals.DrawMM, r.Timing.Total}
		}
	}
	t := program.Total(p.Program)
	return planned{t.Strokes, t.DrawMM, motion.Plan(p.Program.Blocks, motion.LimitsOf(m)).Timing().Total}
}

// lyingOf returns the programs of a load as they lie in the job's folder.
func (j *task) lyingOf(l plot.Load) []journals.Program {
	marks := ""
	for _, name := range []string{fmt.Sprintf("marks-%d.toml", l.N), marksFile} {
		if data, ok := j.bytes[name]; ok && marks == "" && (name != marksFile || l.N == 1) {
			marks = folder.Hash(data)
		}
	}
	var out []journals.Program
	for _, r := range l.PenRuns {
		out = append(out, journals.Program{File: filepath.Join(j.dir, r.File),
			Job: device.Job{Program: r.Program, Text: r.Text, Machine: l.Inputs.Machine, Marks: marks}})
	}
	return out
}

// loadState is what the journals prove of a load.
type loadState struct {
	begun journals.State
	whole map[int]bool // the copies that are drawn
}

// loadStates returns what the journals prove of each load. While a sender holds them it
// is what was known before.
func (j *task) loadStates() []loadState {
	if len(j.loads) != len(j.made.Loads) {
		j.loads = make([]loadState, len(j.made.Loads))
	}
	runs := map[string][]folder.CopyRun{}
	for _, p := range j.report.Pens {
		runs[p.File] = p.Copies
	}
	for i, l := range j.made.Loads {
		lying := j.lyingOf(l)
		s, err := journals.Look(lying)
		if err != nil {
			continue
		}
		j.loads[i] = loadState{s, wholeCopies(l, lying, runs)}
	}
	return j.loads
}

// wholeCopies are the copies of a load that all of its pens have drawn.
func wholeCopies(l plot.Load, lying []journals.Program, runs map[string][]folder.CopyRun) map[int]bool {
	left := map[int]bool{}
	for k, r := range l.PenRuns {
		s, err := journals.Look(lying[k : k+1])
		drawn := s.Drawn
		if s.Done || s.Sent {
			drawn = r.Totals.Strokes
		}
		if err != nil {
			drawn = 0
		}
		done, _ := sending.WholeCopies(runs[r.File], drawn)
		for _, run := range runs[r.File] {
			if !slices.Contains(done, run.Copy) {
				left[run.Copy] = true
			}
		}
	}
	whole := map[int]bool{}
	for _, n := range l.Copies {
		whole[n] = !left[n]
	}
	return whole
}

// loadDrawn is what stands once a part of a kit is drawn: how it compares, and what
// comes next.
func (j *task) loadDrawn(programs []folder.Program, compared string) (word, text string) {
	now := programs[0].Load
	states := j.loadStates()
	due := dueLoad(states)
	if due == 0 && j.inParts() {
		return wordDrawn, strings.TrimSpace("All loads of the rug are drawn. " + compared)
	}
	if due == 0 {
		return wordDrawn, strings.TrimSpace("All loads of the cloth are drawn. " + compared)
	}
	if now == due {
		return wordReady, strings.TrimSpace("Those copies are drawn. " + compared)
	}
	return wordReady, strings.TrimSpace(fmt.Sprintf("Load %d of %d is drawn. %s", now, len(states), compared)) +
		fmt.Sprintf(" Next is load %d: %s", due, j.layWords(due))
}

// dueLoad returns the first load that is not drawn to its end, 0 for none.
func dueLoad(states []loadState) int {
	return 1 + slices.IndexFunc(states, func(s loadState) bool { return !s.begun.Done && !s.begun.Sent })
}

// layWords says how the cloth is to be laid for a load, by its number.
func (j *task) layWords(n int) string {
	l := j.made.Loads[n-1]
	if j.inParts() {
		return "lay the cloth so that " + report.LayWords(*j.made, l) + ", threads square to it."
	}
	first := j.made.Kit.Copies[l.Lowest()-1]
	at := l.PlaceOf(first.At)
	text := fmt.Sprintf("lay the lower left corner of copy %d at %.1f, %.1f mm on the machine, threads square to it.", first.N, at.X, at.Y)
	if l.Turned() {
		text = "lay the cloth turned by a quarter, the top of the drawing to the left, and " + strings.TrimPrefix(text, "lay ")
	}
	return text
}

// kitShown is a kit as the page shows it.
type kitShown struct {
	Cloth  string      `json:"cloth"` // as a maker says it
	Copies []copyShown `json:"copies"`
	Loads  []loadShown `json:"loads"`
	Due    int         `json:"due"` // the load that comes next, 0 when all are drawn or none is made
	Notes  []string    `json:"notes"`
	// Of one rug in several loads, whose Copies are none: where lines go on in another
	// load, seen from the front.
	Panels bool         `json:"panels"`
	Joints [][2]float64 `json:"joints"`
}

// copyShown is a copy: State is drawn, begun or due.
type copyShown struct {
	N      int    `json:"n"`
	Name   string `json:"name"`
	Load   int    `json:"load"`
	Turned bool   `json:"turned"`
	State  string `json:"state"`
}

// loadShown is a load: State is drawn, sent, begun or due. Box is what it takes of the
// cloth, seen from the front: x0, y0, x1, y1.
type loadShown struct {
	N      int        `json:"n"`
	Copies []int      `json:"copies"`
	Box    [4]float64 `json:"box"`
	State  string     `json:"state"`
	Begun  begunShown `json:"begun"`
	Lay    string     `json:"lay"`
	// Waits tells that it cannot be drawn before its marks are found, and Found that they
	// are; neither is so where none are needed. Do is what to do while it waits.
	Waits bool   `json:"waits"`
	Found bool   `json:"found"`
	Do    string `json:"do"`
}

// What is known of a copy or a load.
const (
	stateDue   = "due"
	stateBegun = "begun"
	stateDrawn = "drawn"
	stateSent  = "sent" // to its end, to a machine that does not say whether it drew it
)

// kitShown puts the kit of a job into the form of the page.
func (j *task) kitShown() *kitShown {
	if j.kit.panels != nil {
		return j.partsShown()
	}
	k := j.kit.kit
	out := &kitShown{
		Joints: [][2]float64{},
		Cloth:  fmt.Sprintf("%s from selvedge to selvedge, %s of it along", paths.Length(k.Cloth.Width()).Both(), paths.Length(k.Cloth.Height()).Both()),
		Copies: []copyShown{}, Loads: []loadShown{}, Notes: []string{},
	}
	for _, n := range k.Notes {
		out.Notes = append(out.Notes, n.Message)
	}
	boxes := map[int]paths.Rect{}
	for _, c := range k.Copies {
		out.Copies = append(out.Copies, copyShown{N: c.N, Name: c.Name, Load: c.Load, Turned: c.Turned, State: stateDue})
		b, ok := boxes[c.Load]
		if !ok {
			b = paths.EmptyRect()
			out.Loads = append(out.Loads, loadShown{N: c.Load, State: stateDue, Copies: []int{}})
		}
		boxes[c.Load] = b.Union(c.Piece)
	}
	slices.SortFunc(out.Loads, func(a, b loadShown) int { return a.N - b.N })
	for i := range out.Loads {
		l := &out.Loads[i]
		l.Box = frontBox(j.kit.whole, boxes[l.N])
		for _, c := range out.Copies {
			if c.Load == l.N {
				l.Copies = append(l.Copies, c.N)
			}
		}
	}
	if j.made != nil && len(j.made.Loads) == len(out.Loads) {
		j.addStates(out)
	}
	return out
}

// addStates adds what the journals prove.
func (j *task) addStates(out *kitShown) {
	states := j.loadStates()
	out.Due = dueLoad(states)
	for i, s := range states {
		l := &out.Loads[i]
		l.Begun, l.Lay = begunOf(s.begun), j.layWords(l.N)
		switch {
		case s.begun.Done && !s.begun.Sent:
			l.State = stateDrawn
		case s.begun.Sent:
			l.State = stateSent
		case s.begun.Begun && !l.Waits:
			l.State = stateBegun
		}
		for k := range out.Copies {
			if c := &out.Copies[k]; c.Load == l.N {
				switch {
				case l.State == stateDrawn || l.State == stateSent:
					c.State = l.State
				case s.whole[c.N]:
					c.State = stateDrawn
				}
			}
		}
	}
}

// frontBox is a rectangle of the drawn side as the front shows it.
func frontBox(m plot.Registered, b paths.Rect) [4]float64 {
	if m.Mirrored {
		mid := m.Rug.Min.X + m.Rug.Max.X
		b.Min.X, b.Max.X = mid-b.Max.X, mid-b.Min.X
	}
	return [4]float64{sheets.Hundredth(b.Min.X), sheets.Hundredth(b.Min.Y), sheets.Hundredth(b.Max.X), sheets.Hundredth(b.Max.Y)}
}
