package sending

import (
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device/journals"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// KitPart says what of a kit is to be sent.
type KitPart struct {
	Load     int  // from 1
	LoadSaid bool // a person named it; else the next that is due is meant
	// Copies lists copies, such as "7" or "3,8-12"; "" is all.
	Copies string
	// Kept reports that there are journals, which tell what is due.
	Kept bool
}

// OfKit returns the programs of one load, or of some copies of a load, and says which. The
// programs of a single rug are returned as they are; a part of one is a [fault.Input],
// and so is a part that is not there, copies of several loads, and a kit of which all
// loads are drawn.
func OfKit(s terminal.Streams, programs []jobfolder.Program, m profiles.Machine, part KitPart) ([]Program, error) {
	var all []Program
	for _, p := range programs {
		all = append(all, Program{Program: p})
	}
	if last := all[len(all)-1].Load; last == 0 {
		if part.LoadSaid || part.Copies != "" {
			return nil, fault.Bad(all[0].File, "leave out --load and --copy", "this is no kit of several copies")
		}
		return all, nil
	}
	wanted, err := parseCopies(part.Copies)
	if err != nil {
		return nil, err
	}
	if len(wanted) > 0 && len(all[0].Copies) > 0 && !part.LoadSaid {
		if part.Load, err = loadOf(all, wanted); err != nil {
			return nil, err
		}
		part.LoadSaid = true
	}
	loads := max(len(all[0].Loads), all[len(all)-1].Load)
	if all, err = inLoad(s, all, m, part); err != nil {
		return nil, err
	}
	load := all[0].Load
	if len(all[0].Copies) == 0 {
		return all, ofPart(s, all, part, loads)
	}
	if len(wanted) > 0 {
		if all, err = onlyCopies(all, wanted, m, part.Copies); err != nil {
			return nil, err
		}
	}
	fmt.Fprintf(s.Err, "load %d of %d: copies %s\n", load, loads, copiesIn(all))
	return all, nil
}

// inLoad returns the programs of the load that is asked for, or is due.
func inLoad(s terminal.Streams, all []Program, m profiles.Machine, part KitPart) ([]Program, error) {
	load, loads := part.Load, max(len(all[0].Loads), all[len(all)-1].Load)
	if !part.LoadSaid {
		var err error
		if load, err = due(s, all, m, part.Kept); err != nil {
			return nil, err
		}
	}
	if waits(all[0], load) {
		return nil, NeedsMarks(jobDir(all[0]), load)
	}
	all = slices.DeleteFunc(slices.Clone(all), func(p Program) bool { return p.Load != load })
	if len(all) == 0 {
		return nil, fault.Bad("--load", fmt.Sprintf("loads are numbered from 1 to %d", loads), "there is no load %d", load)
	}
	return all, nil
}

// ofPart says which load of a rug in parts is sent.
func ofPart(s terminal.Streams, all []Program, part KitPart, loads int) error {
	if part.Copies != "" {
		return fault.Bad("--copy", "leave it out", "this is no kit of several copies")
	}
	fmt.Fprintf(s.Err, "load %d of %d%s\n", all[0].Load, loads, loadStates(all[0], part))
	return nil
}

// loadStates says which loads of a rug in parts are drawn and which are due, where journals
// tell and no person chose the load: those before the one that is due are drawn.
func loadStates(p Program, part KitPart) string {
	if part.LoadSaid || !part.Kept {
		return ""
	}
	var words []string
	for _, l := range p.Loads {
		state := "is drawn"
		switch {
		case l.NeedsMarks:
			state = "waits for its marks"
		case l.N == p.Load:
			state = "is due"
		case l.N > p.Load:
			state = "comes after it"
		}
		words = append(words, fmt.Sprintf("load %d %s", l.N, state))
	}
	return ": " + strings.Join(words, ", ")
}

// due returns the first load that is not drawn to its end. It may be one that waits for
// its marks.
func due(s terminal.Streams, all []Program, m profiles.Machine, kept bool) (int, error) {
	for _, p := range all {
		if !kept || !ended(s, p, m) {
			return p.Load, nil
		}
	}
	for _, l := range all[0].Loads {
		if l.NeedsMarks {
			return l.N, nil
		}
	}
	if len(all[0].Copies) == 0 {
		return 0, fault.Bad(jobDir(all[0]), "name a load with --load to draw it again on other cloth", "all loads of this rug are drawn")
	}
	return 0, fault.Bad(jobDir(all[0]), "name a load with --load, or a copy with --copy, to draw it again on other cloth", "all loads of this kit are drawn")
}

// waits reports whether a load of the job that p belongs to waits for its marks.
func waits(p Program, load int) bool {
	return slices.Contains(p.Loads, jobfolder.LoadState{N: load, NeedsMarks: true})
}

// NeedsMarks is the fault of a load, of a rug whose job folder is dir, that has no program
// yet.
func NeedsMarks(dir string, load int) error {
	return fault.Bad(dir, fmt.Sprintf("lay the cloth for it, find its points with weftplot register %s --load %d --port PORT --out marks-%d.toml, and give them to weftplot prepare %s --marks-for %d=marks-%d.toml --out %s",
		shellWord(dir), load, load, shellWord(filepath.Join(dir, "job.toml")), load, load, shellWord(dir)), "load %d cannot be drawn before it is known how the cloth lies: it waits for its marks", load)
}

// jobDir is the job folder of a program, which may lie in the folder of its load.
func jobDir(p Program) string {
	dir := filepath.Dir(p.File)
	if len(p.Loads) > 1 && filepath.Base(dir) == fmt.Sprintf("load-%d", p.Load) {
		dir = filepath.Dir(dir)
	}
	return dir
}

// ended reports whether the journal of a program says that it was sent to its end.
func ended(s terminal.Streams, p Program, m profiles.Machine) bool {
	state, err := journals.Look([]journals.Program{p.lying(s, m)})
	return err == nil && (state.Done || state.Sent)
}

// parseCopies reads numbers of copies, "3,8-12".
func parseCopies(text string) ([]int, error) {
	if text == "" {
		return nil, nil
	}
	bad := fault.Bad("--copy", `give numbers, such as "7" or "3,8-12"`, "%q names no copies", text)
	var out []int
	for _, part := range strings.Split(text, ",") {
		from, to, isRange := strings.Cut(strings.TrimSpace(part), "-")
		a, err := strconv.Atoi(from)
		b := a
		if err == nil && isRange {
			b, err = strconv.Atoi(to)
		}
		if err != nil || a < 1 || b < a || b > 100*job.MostCopies {
			return nil, bad
		}
		for n := a; n <= b; n++ {
			out = append(out, n)
		}
	}
	return out, nil
}

// loadOf returns the load that copies are in, which must be one.
func loadOf(all []Program, wanted []int) (int, error) {
	load := 0
	for _, n := range wanted {
		i := slices.IndexFunc(all, func(p Program) bool {
			return slices.ContainsFunc(p.Copies, func(r jobfolder.CopyRun) bool { return r.Copy == n })
		})
		switch {
		case i < 0:
			return 0, fault.Bad("--copy", "sheet.txt lists the copies", "there is no copy %d", n)
		case load != 0 && all[i].Load != load:
			return 0, fault.Bad("--copy", "send them load by load", "copy %d is in load %d and copy %d in load %d", wanted[0], load, n, all[i].Load)
		}
		load = all[i].Load
	}
	return load, nil
}

// onlyCopies returns programs that draw some of the copies only: new ones, each with a
// journal of its own beside the whole one's.
func onlyCopies(all []Program, wanted []int, m profiles.Machine, said string) ([]Program, error) {
	found := map[int]bool{}
	var out []Program
	for _, p := range all {
		var part program.Program
		from := 1
		for _, run := range p.Copies {
			if slices.Contains(wanted, run.Copy) {
				found[run.Copy] = true
				picked, _ := p.Program.Program.Pick(program.Part{From: from, To: from + run.Strokes - 1})
				picked.Blocks = append(slices.Clone(part.Blocks), picked.Blocks...)
				part = picked
			}
			from += run.Strokes
		}
		if len(part.Blocks) == 0 {
			continue
		}
		ext := filepath.Ext(p.File)
		p.File = strings.TrimSuffix(p.File, ext) + "-copy-" + strings.ReplaceAll(strings.ReplaceAll(said, " ", ""), ",", "-and-") + ext
		p.Copies = slices.DeleteFunc(slices.Clone(p.Copies), func(r jobfolder.CopyRun) bool { return !slices.Contains(wanted, r.Copy) })
		var err error
		if p.Program.Program, p.Text, err = language.Rewrite(whole(part, m), m); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	for _, n := range wanted {
		if !found[n] {
			return nil, fault.Bad("--copy", "sheet.txt lists the copies", "there is no copy %d in this load", n)
		}
	}
	return out, nil
}

// whole returns what was picked of a program as one of its own: it puts its pen in once,
// goes straight from each part to the next, and ends parked.
func whole(p program.Program, m profiles.Machine) program.Program {
	p.Notes = nil
	var blocks []program.Block
	var here paths.Point // the machine's own 0,0
	pen := false
	for _, b := range p.Blocks {
		switch b.Kind {
		case program.Pen:
			if pen {
				continue
			}
			pen = true
		case program.Travel:
			b.Curve = paths.Line{A: here, B: b.Curve.End()}
			here = b.Curve.End()
		case program.Draw:
			here = b.Curve.End()
		}
		blocks = append(blocks, b)
	}
	blocks = append(blocks, program.Block{Kind: program.PenUp})
	if park := m.ParkAt(); here != park {
		blocks = append(blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: here, B: park}})
	}
	p.Blocks = blocks
	return p
}

// copiesIn names the copies that programs draw.
func copiesIn(all []Program) string {
	var words []string
	seen := map[int]bool{0: true}
	for _, p := range all {
		for _, run := range p.Copies {
			if !seen[run.Copy] {
				seen[run.Copy] = true
				words = append(words, CopyName(p.Program, run.Copy))
			}
		}
	}
	return strings.Join(words, ", ")
}

// CopyName is the number of a copy of a program's kit, and its name.
func CopyName(p jobfolder.Program, n int) string {
	return strings.TrimSpace(fmt.Sprintf("%d %s", n, p.Names[n]))
}

// WholeCopies returns the copies that are whole once so many strokes of a program are
// drawn, in their order, and the one that it goes on in, 0 for ticks; on is -1 where
// nothing is left.
func WholeCopies(runs []jobfolder.CopyRun, drawn int) (whole []int, on int) {
	from := 0
	for _, run := range runs {
		if from += run.Strokes; drawn < from {
			return whole, run.Copy
		}
		if run.Copy > 0 {
			whole = append(whole, run.Copy)
		}
	}
	return whole, -1
}

// copiesDone says which copies are whole once so many strokes of a program are drawn, and
// in which one it goes on; "" for a single rug.
func copiesDone(p jobfolder.Program, drawn int) string {
	whole, on := WholeCopies(p.Copies, drawn)
	if on < 0 {
		return ""
	}
	words := "it goes on in copy " + CopyName(p, on)
	if on == 0 {
		words = "ticks for the scissors are left"
	}
	var names []string
	for _, n := range whole {
		names = append(names, CopyName(p, n))
	}
	if len(names) == 0 {
		return words
	}
	return fmt.Sprintf("drawn whole: %s; %s", strings.Join(names, ", "), words)
}
