package jobfolder_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"weftplot/paths/fault"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
)

// report is the least of a report that names these files.
func reportOf(name string, files ...job.File) job.File {
	text := `{"version":1,"name":"` + name + `","files":["report.json"`
	hashes := ""
	for _, f := range files {
		text += `,"` + f.Name + `"`
		hashes += `,"` + f.Name + `":"` + jobfolder.Hash(f.Data) + `"`
	}
	return job.File{Name: jobfolder.ReportName, Data: []byte(text + `],"hashes":{` + hashes[1:] + `}}`)}
}

// TestWrittenAhead writes settings before the programs, as often as they change,
// and then the whole folder; what a person changed in between is not lost.
func TestWrittenAhead(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "mat-job")
	file := func(name, text string) job.File { return job.File{Name: name, Data: []byte(text)} }
	design := file("design.svg", "<svg/>")
	var w jobfolder.Writing
	var err error
	for _, settings := range []string{"a", "b"} {
		if w, err = jobfolder.WriteAhead(dir, []job.File{design, file("job.toml", settings)}, w); err != nil {
			t.Fatal(err)
		}
	}
	whole := []job.File{design, file("job.toml", "b"), file("plot.gcode", "G0 X1\n")}
	if err := jobfolder.Write(dir, append(whole, reportOf("mat", whole...)), w); err != nil {
		t.Fatal(err)
	}
	// The report knows these files now: another round needs no word of them.
	if w, err = jobfolder.WriteAhead(dir, []job.File{file("job.toml", "c")}, jobfolder.Writing{}); err != nil {
		t.Fatal(err)
	}
	whole[1] = file("job.toml", "c")
	for name, ahead := range map[string]jobfolder.Writing{"job.toml": {}, "plot.gcode": w} {
		was, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte("by hand"), 0o666); err != nil {
			t.Fatal(err)
		}
		err = jobfolder.Write(dir, append(whole, reportOf("mat", whole...)), ahead)
		if data, _ := os.ReadFile(filepath.Join(dir, name)); !errors.Is(err, fault.Input) || string(data) != "by hand" {
			t.Errorf("%s, changed by hand: %v; it holds %q", name, err, data)
		}
		if name == "job.toml" {
			if _, err := jobfolder.WriteAhead(dir, whole[1:2], jobfolder.Writing{}); !errors.Is(err, fault.Input) {
				t.Errorf("written ahead over a change by hand: %v", err)
			}
		}
		if err := os.WriteFile(filepath.Join(dir, name), was, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if err := jobfolder.Write(dir, append(whole, reportOf("mat", whole...)), w); err != nil {
		t.Error(err)
	}
	// A person's own file makes it a folder that is not a job's.
	other := filepath.Join(t.TempDir(), "own")
	if w, err = jobfolder.WriteAhead(other, whole[:2], jobfolder.Writing{}); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(other, "letter.txt"), []byte("Dear friend"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := jobfolder.Write(other, append(whole, reportOf("mat", whole...)), w); !errors.Is(err, fault.Input) {
		t.Errorf("a folder with a file of a person's own and no report: %v", err)
	}
}
