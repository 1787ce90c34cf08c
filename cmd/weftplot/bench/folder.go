package bench

import (
	"path/filepath"

	"weftplot/cmd/weftplot/bench/folder"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/plot/jobfolder"
)

// The files of a job folder that are looked for by name.
const (
	jobFile   = "job.toml"
	marksFile = "marks.toml"
)

// writing says how the folder of the job is written over; bench.writing is held.
func (j *task) writing() jobfolder.Writing {
	return jobfolder.Writing{Begun: device.Begun, From: jobFile, Ahead: *j.ahead, Replace: j.replace}
}

// lying returns the programs of a job that is made as they lie in its folder.
func (j *task) lying() []journals.Program {
	marks := ""
	if data, ok := j.bytes[marksFile]; ok && j.settings.Marks != "" {
		marks = jobfolder.Hash(data)
	}
	if j.inLoads() {
		var out []journals.Program
		for _, l := range j.made.Loads {
			out = append(out, j.lyingOf(l)...)
		}
		return out
	}
	var out []journals.Program
	for _, r := range j.made.PenRuns {
		out = append(out, journals.Program{File: filepath.Join(j.dir, r.File),
			Job: device.Job{Program: r.Program, Text: r.Text, Machine: j.made.Inputs.Machine, Marks: marks}})
	}
	return out
}

// begun is what the journals of a job prove of it. While a sender holds them it
// is what was known before.
func (j *task) begun() journals.State {
	if j.made == nil {
		return journals.State{Known: true}
	}
	if s, err := journals.Look(j.lying()); err == nil {
		j.known = s
	}
	return j.known
}

// hasJournals reports whether anything in the job's folder was ever sent.
func (j *task) hasJournals() bool { return len(folder.Journals(j.dir)) > 0 }

// halfDrawn reports whether the job was begun on this cloth and is not done: ink
// may be on it.
func (j *task) halfDrawn() bool { return j.whole && (j.begun().Begun || j.betweenLoads()) }
