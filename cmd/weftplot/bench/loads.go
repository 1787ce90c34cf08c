package bench

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"weftplot/cmd/weftplot/sending"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/jobfolder"
	"weftplot/plot/motion"
	"weftplot/plot/program"
	"weftplot/plot/report"
	"weftplot/profiles"
)

// part is what of a kit is to be drawn: a load, 0 for the next that is due, or some
// copies only, such as "7" or "3,8-12"; "" is all of them.
type part struct {
	Load   int    `json:"load"`
	Copies string `json:"copies"`
}

// waits refuses to draw a load that waits for its marks.
func (j *task) waits(of part) error {
	if !j.inParts() {
		return nil
	}
	n := of.Load
	if n == 0 {
		n = dueLoad(j.loadStates())
	}
	if n > 0 && n <= len(j.made.Loads) && j.made.Loads[n-1].NeedsMarks {
		return fault.Bad("", findDo, "load %d cannot be drawn before it is known how the cloth lies", n)
	}
	return nil
}

// programs returns those that draw the part.
func (p part) programs(all []jobfolder.Program, m profiles.Machine) ([]jobfolder.Program, error) {
	chosen, err := sending.OfKit(terminal.Streams{Err: io.Discard}, all, m,
		sending.KitPart{Load: p.Load, LoadSaid: p.Load > 0, Copies: strings.TrimSpace(p.Copies), Kept: true})
	if err != nil {
		return nil, unnamed(err)
	}
	var out []jobfolder.Program
	for _, c := range chosen {
		out = append(out, c.Program)
	}
	return out, nil
}

// halfOfPart refuses to draw a part of a kit that is half drawn, and to resume one that
// is not. A single rug was looked at before.
func halfOfPart(do string, programs []jobfolder.Program, m profiles.Machine) error {
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
func (j *task) plannedOf(p jobfolder.Program, m profiles.Machine) planned {
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
			marks = jobfolder.Hash(data)
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
	runs := map[string][]jobfolder.CopyRun{}
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
func wholeCopies(l plot.Load, lying []journals.Program, runs map[string][]jobfolder.CopyRun) map[int]bool {
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
func (j *task) loadDrawn(programs []jobfolder.Program, compared string) (word, text string) {
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
		fmt.Sprintf(" Next is load %d: %s", due, j.layWords(due)) + j.findWords(due)
}

// dueLoad returns the first load that is not drawn to its end, 0 for none.
func dueLoad(states []loadState) int {
	return 1 + slices.IndexFunc(states, func(s loadState) bool { return !s.begun.Done && !s.begun.Sent })
}

// findWords says that a load is to be found before it is drawn; "" where it is not.
func (j *task) findWords(n int) string {
	if !j.made.Loads[n-1].NeedsMarks {
		return ""
	}
	return " Then find its points on the step The cloth on the frame."
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

// inParts reports whether the job is one rug in several loads.
func (j *task) inParts() bool { return j.kit != nil && j.kit.Panels != nil }

// inLoads reports whether the programs of the job are made load by load.
func (j *task) inLoads() bool { return j.kit != nil }

// betweenLoads reports whether some loads of a rug are drawn and others are not.
func (j *task) betweenLoads() bool {
	if !j.inParts() || j.made == nil {
		return false
	}
	states := j.loadStates()
	ended := func(s loadState) bool { return s.begun.Done || s.begun.Sent }
	return slices.ContainsFunc(states, ended) && dueLoad(states) > 0
}
