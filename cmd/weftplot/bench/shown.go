package bench

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/link"
	"weftplot/device/line"
	"weftplot/paths"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/check"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// shown puts a job into the form of the page.
func (j *task) shown() *told.Job {
	m, s := j.sketch, j.settings
	side := job.DrawnSide(s.Craft, s.Transfer)
	w, h := m.Rug.Width(), m.Rug.Height()
	out := &told.Job{
		Name: s.Name, Folder: j.dir, Picture: j.picture, Whole: j.whole, Overtaken: j.overtaken,
		PenFor: map[string]string{}, Skip: append([]string{}, s.Skip...), Typed: j.typed,
		Side: side.Title, SideSays: side.Words,
		Facts: told.Facts{Backing: m.Inputs.Backing.Name, Count: m.Count.String(), Strokes: len(m.Drawn), Registration: report.NewRegistration(m.Registration.Report())},
		Both: map[string]string{
			"width": paths.Length(w).Both(), "height": paths.Length(h).Both(),
			"backing_width": paths.Length(w + 2*m.Margin).Both(), "backing_height": paths.Length(h + 2*m.Margin).Both(),
		},
		Largest: told.LargestOf(m),
		Rows:    [2]string{told.RowsOf(w / m.Grid.Across), told.RowsOf(h / m.Grid.Along)},
		Notes:   append([]string{}, j.notes...), Ignored: []string{}, Warnings: []report.Warning{}, Gaps: []told.Gap{}, Findings: []check.Finding{},
		Cautions: report.MotionCautions(), Begun: told.BegunOf(j.begun()), Settings: j.values(), Layers: j.layers(),
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
	out.InFile, out.Repeat = []string{}, []string{}
	for _, l := range m.Inputs.Design.Layers {
		out.InFile = append(out.InFile, l.Name)
	}
	out.Doubts, out.Overruled, out.ByHand = told.DoubtsOf(m), s.Really, j.byHand
	out.HasText, out.HasFont = j.hasText(), len(s.Font) > 0
	out.HasMachine, out.NoPaper = s.HasMachine(), j.noPaper
	if j.made != nil {
		out.Printed = told.PrintedOf(m, j.report.Paper)
		out.Cautions = report.Cautions(*j.made)
		out.Repeat = append(out.Repeat, j.report.Repeat.Words()...)
		out.Facts.Strokes, out.Facts.DrawMM, out.Facts.TimeS = j.report.Strokes, j.report.DrawMM, j.report.TimeS
		out.Time = figures.Minutes(j.report.TimeS)
		out.Warnings = told.OnTheFront(m, j.report.Warnings)
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
	j.addScan(out)
	return out
}

// addScan adds what was read from paper.
func (j *task) addScan(out *told.Job) {
	if j.scan == nil {
		return
	}
	out.Scan, out.Edits, out.Lines, out.Paper = &j.scan.Report, j.scan.Edits(), len(j.scan.Left().Strokes), j.scan.Asked
	for _, g := range j.scan.Gaps {
		mid := g.From.Lerp(g.To, 0.5)
		out.Gaps = append(out.Gaps, told.Gap{At: [2]float64{sheets.Hundredth(mid.X), sheets.Hundredth(mid.Y)}, Wide: sheets.Hundredth(g.Length())})
	}
}

// layers lists what the job draws, with its pens.
func (j *task) layers() []told.Layer {
	out := []told.Layer{}
	for _, k := range j.sketch.Drawn {
		n := slices.IndexFunc(out, func(l told.Layer) bool { return l.Name == k.Layer })
		if n < 0 {
			pen, _ := j.sketch.PenFor(k.Layer) // it was found when the job was laid out
			out = append(out, told.Layer{Name: k.Layer, Pen: pen.Name})
			n = len(out) - 1
		}
		out[n].Strokes++
	}
	return out
}

func (b *bench) offered() told.Offered {
	o := told.Offered{Remembered: b.memory.Show(), Ports: []told.Option{{Name: link.SimPort, About: "the built-in simulated plotter"}}, Jobs: []string{}, Papers: papers()}
	for kind, into := range map[profiles.Kind]*[]told.Option{profiles.MachineKind: &o.Machines, profiles.BackingKind: &o.Backings, profiles.PenKind: &o.Pens} {
		for _, n := range profiles.Names(kind) {
			about, _ := profiles.About(kind, n) // a built-in one has it
			*into = append(*into, told.Option{Name: n, About: about})
		}
		for _, n := range b.memory.Names(kind) {
			*into = append(*into, told.Option{Name: n, About: "set up on this computer", Own: true})
		}
	}
	if n := b.here.name; b.here.profile != nil { // it stands for others of its name
		o.Machines = slices.DeleteFunc(o.Machines, func(m told.Option) bool { return m.Name == n })
		o.Machines = append(o.Machines, told.Option{Name: n, About: "the machine of this computer"})
	}
	ports, _ := line.Ports() // a system that lists none has none to offer
	for _, p := range ports {
		o.Ports = append(o.Ports, told.Option{Name: p.Name, About: p.About})
	}
	found, _ := filepath.Glob(filepath.Join(b.dir, "*", jobFile)) // the pattern is sound
	for _, f := range found {
		o.Jobs = append(o.Jobs, filepath.Base(filepath.Dir(f)))
	}
	slices.Sort(o.Jobs)
	return o
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
	v["diagonals"], v["channel"] = cmp.Or(s.Diagonals, job.DiagonalsOn), strings.Join(s.Channel, "\n")
	v["repeat"], v["repeat-height"], v["repeat-gap"] = s.Repeat, s.RepeatHeight, s.RepeatGap
	v["repeat-give"], v["repeat-corner"] = s.RepeatWay(), cmp.Or(s.RepeatCorner, job.CornerEmpty)
	v["panels"], v["lap"] = fmt.Sprint(s.Panels), ""
	if s.Panels {
		v["lap"] = told.SayLength(s.LapMM())
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
			v[key] = told.SayLength(mm)
		}
	}
	return v
}
