package jobfolder

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"

	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/disk"
)

// ReportName is the file by which a job folder is known.
const ReportName = "report.json"

// Hash names the bytes of a file: their SHA-256 in hexadecimal.
func Hash(data []byte) string { return fmt.Sprintf("%x", sha256.Sum256(data)) }

// A manifest is what a report says of its folder.
type manifest struct {
	Version int      `json:"version"`
	Name    string   `json:"name"`  // of the job
	Files   []string `json:"files"` // that were written, the report among them
	// Hashes are those of the files, without the report itself; nil in reports of
	// before there were any.
	Hashes   map[string]string `json:"hashes"`
	Cautions []string          `json:"cautions"`
	Machine  string            `json:"machine"` // its name
	Pens     []struct {
		Pen    string     `json:"pen"`
		File   string     `json:"file"`
		Layers []LayerRun `json:"layers"`
		Load   int        `json:"load"` // from 1; 0 where the cloth is laid once
		Copies []CopyRun  `json:"copies"`
	} `json:"pens"`
	Copies []struct {
		N    int    `json:"n"`
		Name string `json:"name"`
	} `json:"copies"` // of a kit
	Loads []loadEntry `json:"loads"` // in their order; none where the cloth is laid once
	// Joints are where parts of strokes meet that two loads draw.
	Joints []struct {
		AtChannels [2]float64 `json:"at_channels"`
		Direction  [2]float64 `json:"direction"`
		Loads      [2]int     `json:"loads"`
	} `json:"joints"`
}

// A loadEntry is what a report says of a load.
type loadEntry struct {
	LoadState
	AtMM   [2]float64 `json:"at_mm"`
	Window [4]float64 `json:"window_mm"`
	Box    [4]float64 `json:"box_mm"`
	Points []struct {
		Name    string  `json:"name"`
		Across  float64 `json:"across"`
		Along   float64 `json:"along"`
		LooseMM float64 `json:"loose_mm"`
	} `json:"points"`
}

// loads says of each load whether it can be drawn.
func (m manifest) loads() []LoadState {
	var out []LoadState
	for _, l := range m.Loads {
		out = append(out, l.LoadState)
	}
	return out
}

// readManifest reads the report of a folder. What is no report of a job folder is
// a [fault.Input].
func readManifest(dir string) (manifest, error) {
	name := filepath.Join(dir, ReportName)
	data, err := disk.Read(name, disk.MaxFile)
	if err != nil {
		return manifest{}, fault.Bad(dir, "name a program, or a folder that prepare made", "this is no job folder: it has no report.json")
	}
	return parseManifest(name, data)
}

// parseManifest reads a report. The names in it must be those of files in its own
// folder.
func parseManifest(name string, data []byte) (manifest, error) {
	bad := fault.Bad(name, "prepare the job again", "the report cannot be read")
	var m manifest
	if json.Unmarshal(data, &m) != nil || m.Version == 0 || len(m.Files) == 0 {
		return manifest{}, bad
	}
	named := slices.Concat(m.Files, slices.Collect(maps.Keys(m.Hashes)))
	for _, p := range m.Pens {
		named = append(named, p.File)
	}
	for _, f := range named {
		if !isName(f) {
			bad.What = fmt.Sprintf("the report names %q, which is no file of its folder", label.Clean(f, label.Line))
			return manifest{}, bad
		}
	}
	return m, nil
}

// names returns those of the copies of a kit, cleaned for a terminal.
func (m manifest) names() map[int]string {
	out := map[int]string{}
	for _, c := range m.Copies {
		out[c.N] = label.Clean(c.Name, label.Line)
	}
	return out
}

// cautions returns what must be said of the job, cleaned for a terminal.
func (m manifest) cautions() []string {
	const most = 50
	var out []string
	for _, c := range m.Cautions[:min(len(m.Cautions), most)] {
		out = append(out, label.Text(c))
	}
	return out
}

// IsJob reports whether dir has the report of a job folder. It may hold other
// files too.
func IsJob(dir string) bool {
	_, err := readManifest(dir)
	return err == nil
}

// Listed returns the files that the report of a job folder names; none where there
// is no report.
func Listed(dir string) []string {
	m, err := readManifest(dir)
	if err != nil {
		return nil
	}
	return m.Files
}

// belong checks that the files of a job folder are those that were written
// with its report. A missing picture or sheet is no fault: nothing is sent by it.
// Anything else that is missing or different is a [fault.Input].
func (m manifest) belong(dir string) error {
	const do = "prepare the job again, and do not mix the files of two jobs"
	if m.Hashes == nil {
		return fault.Bad(dir, do, "the report does not say what the files of this job hold, so that nobody can tell whether they belong together")
	}
	for _, name := range slices.Sorted(maps.Keys(m.Hashes)) {
		data, err := disk.Read(filepath.Join(dir, name), disk.MaxFile)
		switch {
		case err != nil && optional(name):
		case err != nil:
			return fault.Bad(filepath.Join(dir, name), do, "this file of the job cannot be read: %v", what(err))
		case Hash(data) != m.Hashes[name]:
			return fault.Bad(dir, do, "the parts of this job do not belong together: %s is not the one that was made with the report", name)
		}
	}
	for _, p := range m.Pens {
		if m.Hashes[p.File] == "" {
			return fault.Bad(dir, do, "the parts of this job do not belong together: the report does not say what %s holds", p.File)
		}
	}
	return nil
}

// optional reports whether a job can be sent without a file.
func optional(name string) bool {
	switch filepath.Ext(name) {
	case ".svg", ".txt", ".pdf", ".dxf":
		return true
	}
	return false
}

// what is the message of a fault without its place.
func what(err error) string {
	var f *fault.Error
	if errors.As(err, &f) {
		return f.What
	}
	return err.Error()
}
