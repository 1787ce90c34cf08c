package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"weftplot/paths/fault"
	"weftplot/plot"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// findLoads returns the programs of a job folder in order, or the one program
// that was named, with the machine they are for.
func findLoads(s streams, name, machine string) ([]load, profiles.Machine, error) {
	info, err := os.Stat(s.path(name))
	if err != nil {
		return nil, profiles.Machine{}, fileFault(name, err)
	}
	dir, loads := filepath.Dir(name), []load{{file: name}}
	if info.IsDir() {
		dir = name
		if loads, err = loadsOf(s, name); err != nil {
			return nil, profiles.Machine{}, err
		}
	}
	m, known, err := machineFor(s, dir, machine)
	if err != nil {
		return nil, m, err
	}
	for i := range loads {
		l := &loads[i]
		if l.text, err = readInput(s.path(l.file)); err != nil {
			return nil, m, err
		}
		if known {
			l.program, err = language.ReadAny(l.file, l.text, &m)
		} else {
			l.program, m, err = readProgram(s, l.file, l.text, "")
		}
		if err != nil {
			return nil, m, err
		}
		if err := language.Reads(l.file, l.program, m); err != nil {
			return nil, m, err
		}
		if m.Language != profiles.GCode {
			l.program = withLayers(l.program, l.layers)
		}
		if data, err := os.ReadFile(s.path(filepath.Join(dir, "marks.toml"))); err == nil {
			l.marks = fmt.Sprintf("%x", sha256.Sum256(data))
		}
	}
	return loads, m, nil
}

// loadsOf lists the programs that the report of a job folder names.
func loadsOf(s streams, dir string) ([]load, error) {
	name := filepath.Join(dir, "report.json")
	data, err := readInput(s.path(name))
	if err != nil {
		return nil, fault.Bad(dir, "name a program, or a folder that prepare made", "this is no job folder: it has no report.json")
	}
	var r plot.Report
	if err := json.Unmarshal(data, &r); err != nil || len(r.Pens) == 0 {
		return nil, fault.Bad(name, "prepare the job again", "the report cannot be read")
	}
	var loads []load
	for _, p := range r.Pens {
		loads = append(loads, load{file: filepath.Join(dir, filepath.Base(p.File)), pen: p.Pen, layers: p.Layers})
	}
	return loads, nil
}

// machineFor returns the machine that was named, else the one that the job
// folder was made for; known is false when there is neither.
func machineFor(s streams, dir, machine string) (m profiles.Machine, known bool, err error) {
	k := &kept{read: from(s.dir)}
	if machine == "" {
		name := filepath.Join(dir, "job.toml")
		data, err := os.ReadFile(s.path(name))
		if err != nil {
			return m, false, nil // a program by itself
		}
		settings, err := plot.ParseSettings(name, data)
		if err != nil {
			return m, false, err
		}
		k.read = from(s.path(dir))
		var in plot.Inputs
		err = k.loadMachine(&in, &settings)
		return in.Machine, true, err
	}
	m, _, err = loadProfile(k, profiles.MachineKind, machine, profiles.ParseMachine)
	return m, true, err
}

// withLayers says before the first stroke of each layer which it is, as programs
// do whose language has room for remarks.
func withLayers(p program.Program, runs []plot.LayerRun) program.Program {
	var blocks []program.Block
	down, left := false, 0
	for _, b := range p.Blocks {
		was := down
		down = b.Kind.Down(was)
		if down && !was {
			if left == 0 && len(runs) > 0 {
				blocks = append(blocks, program.Block{Kind: program.Remark, Text: "layer " + runs[0].Layer})
				left, runs = runs[0].Strokes, runs[1:]
			}
			left--
		}
		blocks = append(blocks, b)
	}
	p.Blocks = blocks
	return p
}
