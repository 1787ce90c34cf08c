package jobfolder

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/disk"
	"weftplot/plot/job"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// A Program is one program of a job folder, or one that lies by itself.
type Program struct {
	File string // as it was named, or with its folder as it was named
	Pen  string // "" when it is not known
	Text []byte // as it goes over the wire
	// Program is what Text says. Where the language has no room for the names of
	// layers, remarks name those that the folder's report tells.
	Program program.Program
	// Marks tells one registration of the cloth from another: the SHA-256 of the
	// folder's marks, in hexadecimal; "" for none.
	Marks string
	// Cautions are what the job folder says must be said before the machine moves;
	// none for a program that lies by itself.
	Cautions []string

	// Load is the load that it belongs to, from 1, of a kit or of a rug that is drawn in
	// several; else 0. Copies are whose strokes follow one another in a kit, and Names
	// those of its copies.
	Load   int
	Copies []CopyRun
	Names  map[int]string
	// Loads are all layings of the cloth of the job that it belongs to; none for a program
	// that lies by itself, or where the cloth is laid once.
	Loads []LoadState

	layers []LayerRun
}

// LoadState says of a load whether it can be drawn.
type LoadState struct {
	N          int  `json:"n"`           // from 1
	NeedsMarks bool `json:"needs_marks"` // it has no program before its marks are found
}

// LayerRun is so many strokes of one layer, one after the other.
type LayerRun struct {
	Layer   string `json:"layer"`   // its name
	Strokes int    `json:"strokes"` // how many
}

// CopyRun is so many strokes of one copy of a kit, one after the other; copy 0 is ticks
// where the cloth is cut.
type CopyRun struct {
	Copy    int `json:"copy"`    // its number
	Strokes int `json:"strokes"` // how many
}

// Wanted says which machine a program is read for.
type Wanted struct {
	Said string // by name or file, for this program; "" for none
	Here string // that of this computer, by name or file; "" for none
}

// ReadFolder returns the programs of a job folder in order, or the one program
// that is named, with the machine they are for: the one that is wanted, else the
// job's, else the one that the program says or commonly goes with its language.
//
// A file that is missing, cut short or not sound, a job folder whose parts do not
// belong together, and a program that another machine was meant by, are a
// [fault.Input].
func (p Place) ReadFolder(ctx context.Context, name string, machine Wanted) ([]Program, profiles.Machine, error) {
	none := profiles.Machine{}
	info, err := os.Stat(p.Path(name))
	if err != nil {
		return nil, none, disk.Fault(name, err)
	}
	dir, file := p.folderOf(name)
	programs := []Program{{File: name}}
	if info.IsDir() {
		dir = name
		programs, err = p.programsOf(name)
	} else {
		programs[0].Cautions, err = p.inItsFolder(dir, file)
	}
	if err != nil {
		return nil, none, err
	}
	m, known, err := p.machineFor(dir, machine.Said)
	if err != nil {
		return nil, m, err
	}
	for i := range programs {
		l := &programs[i]
		l.Marks = p.marksOf(dir, l.Load)
		if l.Text, err = p.Read(l.File, disk.MaxFile); err != nil {
			return nil, m, err
		}
		if known {
			l.Program, err = language.ReadAny(ctx, l.File, l.Text, &m)
		} else {
			l.Program, m, err = p.guess(ctx, l.File, l.Text, machine.Here)
		}
		if err != nil {
			return nil, m, err
		}
		if err := language.Reads(l.File, l.Program, m); err != nil {
			return nil, m, err
		}
		if err := ended(l.File, l.Text, l.Program); err != nil {
			return nil, m, err
		}
		if m.Language != profiles.GCode {
			l.Program = withLayers(l.Program, l.layers)
		}
	}
	return programs, m, nil
}

// marksOf names the registration that the programs of a load were made with.
func (p Place) marksOf(dir string, load int) string {
	names := []string{"marks.toml"}
	if load > 0 {
		names = []string{fmt.Sprintf("marks-%d.toml", load)}
	}
	if load == 1 {
		names = append(names, "marks.toml")
	}
	for _, name := range names {
		if data, err := p.Read(filepath.Join(dir, name), disk.MaxText); err == nil {
			return Hash(data)
		}
	}
	return ""
}

// ReadProgram reads a program with the machine that is wanted, else with the one
// of the job folder that it lies in, else with the one that the program
// itself names or, where it names none, one that speaks its language. A
// program or a profile that is not sound is a [fault.Input].
func (p Place) ReadProgram(ctx context.Context, name string, machine Wanted) (program.Program, profiles.Machine, error) {
	data, err := p.Read(name, disk.MaxFile)
	if err != nil {
		return program.Program{}, profiles.Machine{}, err
	}
	dir, _ := p.folderOf(name)
	if machine.Said == "" && !IsJob(p.Path(dir)) {
		return p.guess(ctx, name, data, machine.Here)
	}
	m, known, err := p.machineFor(dir, machine.Said)
	if err != nil || !known {
		return program.Program{}, m, err
	}
	prog, err := language.ReadAny(ctx, name, data, &m)
	return prog, m, err
}

// guess reads a program that no machine is known for: it is read for the machine of this
// computer, if that reads it, else for the built-in one that it names or that commonly
// goes with its language.
func (p Place) guess(ctx context.Context, name string, data []byte, here string) (program.Program, profiles.Machine, error) {
	prog, err := language.ReadAny(ctx, name, data, nil)
	if err != nil {
		return prog, profiles.Machine{}, err
	}
	m, err := profiles.MachineNamed(prog.Machine)
	if err != nil {
		m, err = profiles.MachineNamed(language.UsualMachine(profiles.Language(prog.Language)))
	}
	if err != nil {
		return prog, m, err
	}
	if here != "" {
		own, err := job.ReadMachine(p.Read, here)
		if err != nil {
			return prog, own, err
		}
		if language.Reads(name, prog, own) == nil {
			m = own
		}
	}
	prog, err = language.ReadAny(ctx, name, data, &m) // only with the machine is it known what its words do
	return prog, m, err
}

// programsOf lists the programs that the report of a job folder names, once its
// parts are known to belong together.
func (p Place) programsOf(dir string) ([]Program, error) {
	m, err := readManifest(p.Path(dir))
	if err != nil {
		return nil, err
	}
	if len(m.Pens) == 0 && m.Machine == job.NoMachine {
		return nil, fault.Bad(dir, "print its paper.pdf, or prepare it for a plotter: [machine] NAME", "this job is for paper, and no machine draws it")
	}
	if len(m.Pens) == 0 {
		return nil, fault.Bad(dir, "prepare the job again", "the report names no program")
	}
	if err := m.belong(p.Path(dir)); err != nil {
		return nil, err
	}
	var programs []Program
	for _, pen := range m.Pens {
		programs = append(programs, Program{File: filepath.Join(dir, pen.File), Pen: pen.Pen, Cautions: m.cautions(), layers: pen.Layers,
			Load: pen.Load, Copies: pen.Copies, Names: m.names(), Loads: m.loads()})
	}
	return programs, nil
}

// inItsFolder checks a program that is named by its file and stands in the report
// of a job folder: its parts must belong together too. It returns the cautions of
// that job. A program that lies by itself is not checked.
func (p Place) inItsFolder(dir, file string) ([]string, error) {
	m, err := readManifest(p.Path(dir))
	if err != nil || !slices.Contains(m.Files, file) {
		return nil, nil
	}
	return m.cautions(), m.belong(p.Path(dir))
}

// machineFor returns the machine that was named, else the one that the job
// folder was made for; known is false when there is neither.
func (p Place) machineFor(dir, machine string) (m profiles.Machine, known bool, err error) {
	if machine != "" {
		m, err = job.ReadMachine(p.Read, machine)
		return m, true, err
	}
	name := filepath.Join(dir, "job.toml")
	if _, err := os.Stat(p.Path(name)); err != nil {
		return m, false, nil // a program by itself
	}
	data, err := p.Read(name, disk.MaxText)
	if err != nil {
		return m, false, err
	}
	settings, err := job.ParseSettings(name, data)
	if err != nil {
		return m, false, err
	}
	m, err = job.MachineOf(Place(p.Path(dir)).Read, settings)
	return m, true, err
}

// withLayers says before the first stroke of each layer which it is, as programs
// do whose language has room for remarks.
func withLayers(p program.Program, runs []LayerRun) program.Program {
	var blocks []program.Block
	down, left := false, 0
	for _, b := range p.Blocks {
		was := down
		down = b.Kind.Down(was)
		if down && !was {
			if left == 0 && len(runs) > 0 {
				blocks = append(blocks, program.Block{Kind: program.Remark, Text: "layer " + label.Clean(runs[0].Layer, label.Remark)})
				left, runs = runs[0].Strokes, runs[1:]
			}
			left--
		}
		blocks = append(blocks, b)
	}
	p.Blocks = blocks
	return p
}
