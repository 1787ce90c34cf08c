package bench

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/paper"
	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/device/line"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot"
	"weftplot/plot/check"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// The words that the status begins with.
const (
	wordReady     = "Ready"
	wordEdge      = "Going round the edge"
	wordRehearsal = "Rehearsing"
	wordDrawing   = "Drawing"
	wordHeld      = "Held"
	wordStopped   = "Stopped"
	wordDrawn     = "Drawn"
	wordBroke     = "The line broke"
)

// news is what a page asks for several times a second.
type news struct {
	Version int         `json:"version"`
	Lead    bool        `json:"lead"`
	Turn    string      `json:"turn"` // what the next motion is asked for with
	Status  status      `json:"status"`
	Trouble *trouble    `json:"trouble"` // of the last run
	Number  int         `json:"number"`  // of the last run
	Steer   *steerShown `json:"steer"`
	Job     *shown      `json:"job,omitempty"` // only where the page's version is another
	Fresh   bool        `json:"fresh"`         // Job is told, also where there is none
}

// status is what the machine is at.
type status struct {
	Word    string  `json:"word"`
	Text    string  `json:"text"`
	Says    string  `json:"says"`   // how far it has got; it changes all the time
	Load    int     `json:"load"`   // of a kit, that is being drawn; else 0
	Copy    int     `json:"copy"`   // that is being drawn; 0 for none
	Moving  bool    `json:"moving"` // a machine is at work, or held
	Held    bool    `json:"held"`
	Asked   string  `json:"asked"`
	Confirm bool    `json:"confirm"` // the person is asked whether all is drawn
	Do      string  `json:"do"`
	Sim     bool    `json:"sim"`
	Drawn   float64 `json:"drawn_mm"`
	Total   float64 `json:"total_mm"`
	Left    float64 `json:"left_s"`
	Stroke  int     `json:"stroke"`
	Strokes int     `json:"strokes"`
	Proved  int     `json:"proved"`
	Layer   string  `json:"layer"`
}

// steerShown is where the pen is while somebody looks for marks.
type steerShown struct {
	Port  string        `json:"port"`
	At    [2]float64    `json:"at"`
	Place *[2]float64   `json:"place"`
	Next  *[2]float64   `json:"next"`
	Said  string        `json:"said"`
	Marks []sheets.Mark `json:"marks"`
}

// shown is the job as the page shows it.
type shown struct {
	Name     string             `json:"name"`
	Folder   string             `json:"folder"`
	Picture  int                `json:"picture"`
	Whole    bool               `json:"whole"`
	Settings map[string]string  `json:"settings"`
	PenFor   map[string]string  `json:"pen_for"`
	Skip     []string           `json:"skip"`
	Typed    map[string]string  `json:"typed"`
	Side     string             `json:"side"`
	SideSays string             `json:"side_says"`
	Facts    facts              `json:"report"`
	Both     map[string]string  `json:"both"` // lengths as a maker says them
	Rows     [2]string          `json:"rows"`
	Largest  []largestShown     `json:"largest"` // that fits the machine, upright and turned
	Layers   []layerShown       `json:"layers"`
	Notes    []string           `json:"notes"`
	Ignored  []string           `json:"ignored"`
	Warnings []report.Warning   `json:"warnings"`
	Findings []check.Finding    `json:"findings"`
	Cautions []string           `json:"cautions"`
	Begun    begunShown         `json:"begun"`
	Scan     *report.ScanReport `json:"scan"`
	Edits    int                `json:"edits"` // lines struck out and gaps closed by hand
	Lines    int                `json:"lines"` // left of those read from paper
	Gaps     []gapShown         `json:"gaps"`
	Paper    paper.Asked        `json:"paper"` // what was said of it
	Time     string             `json:"time"`
	Checked  bool               `json:"checked"`
	// Doubts are what is surely wrong about the job. While they stand and are not
	// overruled no program is made.
	Doubts    []doubtShown `json:"doubts"`
	Overruled bool         `json:"overruled"`
	// ByHand tells that a file of the folder was changed by hand, and what stands
	// against writing over it.
	ByHand *trouble `json:"by_hand"`
	// Overtaken: the cloth is half drawn by programs that would be made otherwise now.
	Overtaken bool `json:"overtaken"`
	HasText   bool `json:"has_text"` // the drawing has words of its own
	HasFont   bool `json:"has_font"`
	// HasMachine is false for a job that is only printed. Printed is what is printed
	// of it, null until that is laid out, and NoPaper why it cannot be.
	HasMachine bool          `json:"has_machine"`
	Kit        *kitShown     `json:"kit"` // null for a single rug
	Printed    *printedShown `json:"printed"`
	NoPaper    *trouble      `json:"no_paper"`
}

// doubtShown is something that is surely wrong, and the steps that cause it.
type doubtShown struct {
	Code  string   `json:"code"`
	What  string   `json:"what"`
	Do    string   `json:"do"`
	Steps []string `json:"steps"`
}

// doubtWords are what the page says of a doubt, which has steps and a button: where
// it is caused, what mends it there, and where its own advice begins.
var doubtWords = map[string]struct {
	steps      []string
	do, advice string
}{
	"words-left-out":        {[]string{"drawing"}, "turn the words into lines in the drawing program, or go on without them", ""},
	"blade-on-backing":      {[]string{"transfer", "machine"}, "choose Traced over light on the step Onto the cloth, or another pen on the step The machine", ": give ["},
	"pen-does-not-transfer": {[]string{"transfer", "machine"}, "choose heat-transfer-pen on the step The machine, for the border too", "; use "},
}

func doubtsOf(m plot.Registered) []doubtShown {
	out := []doubtShown{}
	for _, d := range m.Doubts() {
		shown := doubtShown{d.Code, fault.Rename(d.Message, labelOf), fault.Rename(d.Do, labelOf), []string{"drawing"}}
		if w, known := doubtWords[d.Code]; known {
			shown.Steps, shown.Do = w.steps, w.do
			if w.advice != "" {
				shown.What, _, _ = strings.Cut(d.Message, w.advice)
			}
		}
		out = append(out, shown)
	}
	return out
}

// begunShown is what the journals of a job prove.
type begunShown struct {
	Drawn     int  `json:"drawn"`
	Strokes   int  `json:"strokes"`
	Again     int  `json:"again"`
	Known     bool `json:"known"`
	Done      bool `json:"done"`
	Sent      bool `json:"sent"`
	Half      bool `json:"half"`
	NeedsHome bool `json:"needs_home"`
}

func begunOf(s journals.State) begunShown {
	return begunShown{s.Drawn, s.Strokes, s.Again, s.Known, s.Done, s.Sent, s.Begun, s.NeedsHome}
}

// largestShown is the largest size of a rug that a machine reaches with the cloth
// lying one way.
type largestShown struct {
	Lay  string     `json:"lay"`  // upright or turned
	Size string     `json:"size"` // both sides, as a maker says them
	Fits bool       `json:"fits"` // the rug as it is now
	MM   [2]float64 `json:"mm"`
}

// largestOf returns the largest sizes that fit. Turned, the cloth lies on the
// machine by a quarter round.
func largestOf(m plot.Registered) []largestShown {
	out := []largestShown{}
	if !m.Settings.HasMachine() {
		return out
	}
	box, reach := m.Inputs.Design.Bounds(), m.Inputs.Machine.Reach()
	w, h := m.Rug.Width(), m.Rug.Height()
	for _, lay := range []string{job.Upright, job.LaidTurned} {
		r := reach
		if lay == job.LaidTurned {
			r.Max = paths.Point{X: reach.Min.X + reach.Height(), Y: reach.Min.Y + reach.Width()}
		}
		wide := largest(box, r, m.Count)
		high := wide * h / w
		out = append(out, largestShown{lay, paths.Length(wide).Both() + " × " + paths.Length(high).Both(), w <= wide+1e-6 && h <= high+1e-6, [2]float64{sheets.Hundredth(wide), sheets.Hundredth(high)}})
	}
	return out
}

// gapShown is a gap between two lines read from paper, mm.
type gapShown struct {
	At   [2]float64 `json:"at"` // its middle
	Wide float64    `json:"wide"`
}

type layerShown struct {
	Name    string `json:"name"`
	Pen     string `json:"pen"`
	Strokes int    `json:"strokes"`
}

// news returns what is new to a page that has seen a version.
func (b *bench) news(lead bool, turn string, seen int) news {
	b.mu.Lock()
	defer b.mu.Unlock()
	n := news{Version: b.version, Lead: lead, Turn: turn, Status: b.status(), Trouble: b.last.trouble, Number: b.last.number}
	if s := b.steer; s != nil && s.pilot != nil {
		n.Steer = s.shown()
	}
	if n.Fresh = seen != b.version; n.Fresh && b.job != nil {
		n.Job = b.job.shown()
	}
	return n
}

// status says what the machine is at; b.mu is held.
func (b *bench) status() status {
	r := b.run
	if r == nil {
		return b.resting()
	}
	p := r.progress
	s := status{
		Moving: true, Do: r.do, Asked: r.asked, Sim: r.port == link.SimPort,
		Drawn: p.DrawnMM + r.drawnMM, Total: r.totalMM, Left: p.SecondsLeft + r.left,
		Stroke: p.Stroke + r.strokes, Strokes: r.total, Proved: r.proved, Layer: p.Layer,
	}
	s.Word = map[string]string{doEdge: wordEdge, doRehearse: wordRehearsal, doDraw: wordDrawing, doResume: wordDrawing}[r.do]
	switch {
	case r.asked != "":
		s.Word, s.Held, s.Text = wordHeld, true, r.asked+", then press Go on."
	case r.confirm:
		s.Word, s.Held, s.Confirm, s.Text = wordHeld, true, true, "All was sent and should be drawn by now; this machine does not say where its pen goes. Look at the cloth for missing strokes and stray lines."
	case p.State == device.Connecting:
		s.Word, s.Text = wordReady, "Asking the machine whether it listens."
	case p.State == device.Waiting, p.State == device.Stopping:
		s.Word, s.Held, s.Text = wordHeld, true, "The pen is up. Go on takes the job up where it was left."
		if p.State == device.Stopping {
			s.Text = "Coming to rest, the pen goes up."
		}
	case r.do == doEdge || r.do == doRehearse:
		s.Text, s.Says = "The pen is up.", "About "+figures.Minutes(s.Left)+" left."
	default:
		s.Text = "Stay at the frame."
		s.Says = fmt.Sprintf("Line %d of %d, %.2f of %.2f m, about %s left.", s.Stroke, s.Strokes, s.Drawn/1000, s.Total/1000, figures.Minutes(s.Left))
	}
	prog := r.programs[r.file]
	s.Load = prog.Load
	if len(prog.Copies) > 0 {
		if _, on := sending.WholeCopies(prog.Copies, max(0, p.Stroke-1)); on > 0 {
			s.Copy = on
			s.Says = strings.TrimSpace("Copy " + sending.CopyName(prog, on) + ". " + s.Says)
		}
	}
	if s.Sim {
		s.Text += " This is the simulated plotter."
	}
	return s
}

// resting says what stands while no machine is at work; b.mu is held.
func (b *bench) resting() status {
	word, text := b.last.word, b.last.text
	if word == "" {
		word = wordReady
	}
	switch {
	case b.steer != nil:
		text = "The pen is steered by hand, lifted."
	case b.job == nil:
		text = "Choose a drawing."
	case b.job.overtaken:
		text = "The cloth is half drawn by a program that would be made otherwise now."
	case b.job.refused():
		text = "Something stands against this job; it is told on the steps marked with !."
	case b.job.byHand != nil:
		text = "A file of this job was changed by hand; nothing is written over it."
	case b.job.noPaper != nil:
		text = "The pattern does not go onto this paper; it is told on the step Onto the cloth."
	case text == "" && !b.job.whole && !b.job.settings.HasMachine():
		text = "The paper is being laid out."
	case text == "" && !b.job.whole:
		text = "The program is being written."
	}
	return status{Word: word, Text: text}
}

func (s *steer) shown() *steerShown {
	out := &steerShown{Port: s.port, At: [2]float64{sheets.Hundredth(s.at.X), sheets.Hundredth(s.at.Y)}, Said: s.said, Marks: []sheets.Mark{}}
	if p, ok := s.found.PlaceAt(s.at); ok {
		out.Place = &[2]float64{sheets.Hundredth(p.Across), sheets.Hundredth(p.Along)}
	}
	if p, ok := s.found.Next(); ok {
		out.Next = &[2]float64{p.Across, p.Along}
	}
	for i, m := range s.found.Marks() {
		out.Marks = append(out.Marks, sheets.Mark{Number: i + 1, At: [2]float64{m.At.X, m.At.Y}, Place: [2]float64{m.Place.Across, m.Place.Along}})
	}
	return out
}

// facts are what is known of a job's rug and of its program; what the program
// alone tells is 0 until it is made.
type facts struct {
	Backing      string               `json:"backing"`
	Count        string               `json:"count"`
	Strokes      int                  `json:"strokes"`
	DrawMM       float64              `json:"draw_mm"`
	TimeS        float64              `json:"time_s"`
	Registration *report.Registration `json:"registration"`
	// MarksSay is what the marks cannot tell, and which of them may be wrong.
	MarksSay []string `json:"marks_say"`
}

// shown puts a job into the form of the page.
func (j *task) shown() *shown {
	m, s := j.sketch, j.settings
	side := job.DrawnSide(s.Craft, s.Transfer)
	w, h := m.Rug.Width(), m.Rug.Height()
	out := &shown{
		Name: s.Name, Folder: j.dir, Picture: j.picture, Whole: j.whole, Overtaken: j.overtaken,
		PenFor: map[string]string{}, Skip: append([]string{}, s.Skip...), Typed: j.typed,
		Side: side.Title, SideSays: side.Words,
		Facts: facts{Backing: m.Inputs.Backing.Name, Count: m.Count.String(), Strokes: len(m.Drawn), Registration: report.NewRegistration(m.Registration.Report())},
		Both: map[string]string{
			"width": paths.Length(w).Both(), "height": paths.Length(h).Both(),
			"backing_width": paths.Length(w + 2*m.Margin).Both(), "backing_height": paths.Length(h + 2*m.Margin).Both(),
		},
		Largest: largestOf(m),
		Rows:    [2]string{rowsOf(w / m.Grid.Across), rowsOf(h / m.Grid.Along)},
		Notes:   append([]string{}, j.notes...), Ignored: []string{}, Warnings: []report.Warning{}, Gaps: []gapShown{}, Findings: []check.Finding{},
		Cautions: report.MotionCautions(), Begun: begunOf(j.begun()), Settings: j.values(), Layers: j.layers(),
	}
	if r := m.Registration.Report(); r != nil {
		for _, w := range r.Warnings {
			if w.Code == cloth.ErrorExpected {
				continue // the page says it with the fit, and which mark would help
			}
			out.Facts.MarksSay = append(out.Facts.MarksSay, w.Message)
		}
	}
	out.Facts.DrawMM = j.sketchMM
	out.Doubts, out.Overruled, out.ByHand = doubtsOf(m), s.Really, j.byHand
	out.HasText, out.HasFont = j.hasText(), len(s.Font) > 0
	out.HasMachine, out.NoPaper = s.HasMachine(), j.noPaper
	if j.made != nil {
		out.Printed = printedOf(m, j.report.Paper)
		out.Cautions = report.Cautions(*j.made)
		out.Facts.Strokes, out.Facts.DrawMM, out.Facts.TimeS = j.report.Strokes, j.report.DrawMM, j.report.TimeS
		out.Time = figures.Minutes(j.report.TimeS)
		out.Warnings = onTheFront(m, j.report.Warnings)
	}
	if j.kit != nil {
		out.Kit = j.kitShown()
		for i := range out.Warnings {
			out.Warnings[i].At = nil // places are on the machine, load by load
		}
	}
	for layer, pen := range s.PenFor {
		out.PenFor[layer] = m.Inputs.Pens[pen].Name
	}
	if c := j.checked; c != nil {
		out.Findings, out.Checked = append(out.Findings, c.Findings...), true
	}
	for _, n := range m.Inputs.Design.Notes {
		out.Ignored = append(out.Ignored, job.NoteText(n))
	}
	if j.scan != nil {
		out.Scan, out.Edits, out.Lines, out.Paper = &j.scan.Report, j.scan.Edits(), len(j.scan.Left().Strokes), j.scan.Asked
		for _, g := range j.scan.Gaps {
			mid := g.From.Lerp(g.To, 0.5)
			out.Gaps = append(out.Gaps, gapShown{[2]float64{sheets.Hundredth(mid.X), sheets.Hundredth(mid.Y)}, sheets.Hundredth(g.Length())})
		}
	}
	return out
}

// rowsOf says how many rows of holes a side has, as a maker counts them.
func rowsOf(n float64) string {
	whole := math.Round(n)
	if math.Abs(n-whole) < 0.02 {
		return fmt.Sprintf("%.0f", whole)
	}
	return fmt.Sprintf("about %.0f", whole)
}

// onTheFront returns warnings whose places, on the machine, are moved to the
// front of the rug, and whose words are the page's.
func onTheFront(m plot.Registered, list []report.Warning) []report.Warning {
	out := append([]report.Warning{}, list...)
	for i := range out {
		out[i].Message = out[i].Plain()
		if at := out[i].At; at != nil {
			p := report.OnFront(m, paths.Point{X: at[0], Y: at[1]})
			out[i].At = &[2]float64{sheets.Hundredth(p.X), sheets.Hundredth(p.Y)}
		}
	}
	return out
}

// layers lists what the job draws, with its pens.
func (j *task) layers() []layerShown {
	out := []layerShown{}
	for _, k := range j.sketch.Drawn {
		n := slices.IndexFunc(out, func(l layerShown) bool { return l.Name == k.Layer })
		if n < 0 {
			pen, _ := j.sketch.PenFor(k.Layer) // it was found when the job was laid out
			out = append(out, layerShown{Name: k.Layer, Pen: pen.Name})
			n = len(out) - 1
		}
		out[n].Strokes++
	}
	return out
}

// values are the settings as the fields of the page hold them.
func (j *task) values() map[string]string {
	m, s := j.sketch, j.settings
	v := map[string]string{
		"craft": string(s.Craft), "transfer": string(s.Transfer),
		"backing": m.Inputs.Backing.Name, "machine": m.Inputs.Machine.Name, "pen": m.Inputs.Pens[s.Pen].Name,
		"border": s.Border, "clearance": fmt.Sprint(s.ClearRows()), "count": m.Count.String(), "margin": s.Margin,
		"marks": s.Marks, "lay": s.Lay, "snap": fmt.Sprint(s.Snap),
	}
	v["stripes"], v["gauge"], v["ticks"] = s.StripesIn(""), s.Gauge, fmt.Sprint(s.Ticks)
	v["hem"], v["fold"], v["cut"], v["first"] = s.Hem, s.Fold, s.Cut, strings.Join(s.First, ", ")
	v["panels"], v["lap"] = fmt.Sprint(s.Panels), ""
	if s.Panels {
		v["lap"] = sayLength(s.LapMM())
	}
	v["copies"], v["names"], v["cloth"], v["gap"], v["turn"] = "", string(j.bytes[s.Names]), s.Cloth, s.Gap, fmt.Sprint(s.Turn)
	if s.Copies > 0 && s.Names == "" {
		v["copies"] = fmt.Sprint(s.Copies)
	}
	if s.Lay == "" {
		v["lay"] = job.Upright
	}
	if s.NoSnap {
		v["snap"] = "off"
	}
	j.wordsValues(v)
	j.printingValues(v)
	for key, mm := range map[string]float64{"width": m.Rug.Width(), "height": m.Rug.Height()} {
		if v[key] = j.typed[key]; v[key] == "" {
			v[key] = sayLength(mm)
		}
	}
	return v
}

// offered is what the choices of the page hold.
type offered struct {
	Machines   []option     `json:"machines"`
	Backings   []option     `json:"backings"`
	Pens       []option     `json:"pens"`
	Ports      []option     `json:"ports"`
	Papers     []string     `json:"papers"` // sizes that are printed on
	Remembered memory.Shown `json:"remembered"`
	Jobs       []string     `json:"jobs"` // job folders below the folder of jobs
}

type option struct {
	Name  string `json:"name"`
	About string `json:"about"`
	Own   bool   `json:"own"`
}

func (b *bench) offered() offered {
	o := offered{Remembered: b.memory.Show(), Ports: []option{{Name: link.SimPort, About: "the built-in simulated plotter"}}, Jobs: []string{}, Papers: papers()}
	for kind, into := range map[profiles.Kind]*[]option{profiles.MachineKind: &o.Machines, profiles.BackingKind: &o.Backings, profiles.PenKind: &o.Pens} {
		for _, n := range profiles.Names(kind) {
			about, _ := profiles.About(kind, n) // a built-in one has it
			*into = append(*into, option{Name: n, About: about})
		}
		for _, n := range b.memory.Names(kind) {
			*into = append(*into, option{Name: n, About: "set up on this computer", Own: true})
		}
	}
	if n := b.here.name; b.here.profile != nil { // it stands for others of its name
		o.Machines = slices.DeleteFunc(o.Machines, func(m option) bool { return m.Name == n })
		o.Machines = append(o.Machines, option{Name: n, About: "the machine of this computer"})
	}
	ports, _ := line.Ports() // a system that lists none has none to offer
	for _, p := range ports {
		o.Ports = append(o.Ports, option{Name: p.Name, About: p.About})
	}
	found, _ := filepath.Glob(filepath.Join(b.dir, "*", jobFile)) // the pattern is sound
	for _, f := range found {
		o.Jobs = append(o.Jobs, filepath.Base(filepath.Dir(f)))
	}
	slices.Sort(o.Jobs)
	return o
}
