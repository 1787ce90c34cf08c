package jobfolder

import (
	"maps"
	"os"
	"path/filepath"
	"testing"

	"weftplot/plot/job"
	"weftplot/plot/program"
)

// held is what a folder holds.
func held(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(data)
	}
	return all
}

// A folder that cannot be written to its end is put back as it was, wherever it
// fails.
func TestWritingIsUndone(t *testing.T) {
	old := []string{ReportName, "job.toml", "plot.gcode"}
	for missing := range 3 {
		dir := t.TempDir()
		for _, name := range append(old, "letter.txt") {
			if err := os.WriteFile(filepath.Join(dir, name), []byte("old "+name), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		before := held(t, dir)
		tmp := filepath.Join(dir, ".tmp")
		if err := os.Mkdir(tmp, 0o777); err != nil {
			t.Fatal(err)
		}
		files := []job.File{{Name: ReportName, Data: []byte("new")}, {Name: "job.toml", Data: []byte("new")}, {Name: "plot.hpgl", Data: []byte("new")}}
		fresh, err := stage(tmp, dir, files)
		if err == nil {
			err = os.Remove(filepath.Join(fresh, files[missing].Name)) // as a disk may lose it
		}
		if err != nil {
			t.Fatal(err)
		}
		var m moves
		if err := m.all(dir, tmp, fresh, files, old); err == nil {
			t.Fatal("a file that is missing was written")
		}
		if err := m.undo(); err != nil {
			t.Fatal(err)
		}
		if after := held(t, dir); !maps.Equal(before, after) {
			t.Errorf("without %s: %v is left of %v", files[missing].Name, after, before)
		}
	}
}

func TestEnded(t *testing.T) {
	const ours = "(weftplot program for machine gantry-z)\nG21\n"
	for _, c := range []struct {
		text, machine, language string
		whole                   bool
	}{
		{ours + "M2\n", "gantry-z", "gcode", true},
		{ours + "M2\r\n\r\n", "gantry-z", "gcode", true},
		{ours + "m30", "gantry-z", "gcode", true},
		{ours + "%\n", "gantry-z", "gcode", true},
		{ours, "gantry-z", "gcode", false},
		{ours + "G0 Z5\nG0 X2 Y2\n", "gantry-z", "gcode", false},
		{ours + "M2\nG1 X3\n", "gantry-z", "gcode", false},
		{"G21\nG0 X2\n", "", "gcode", true}, // of another hand
		{"IN;\nSP1;\nVS4;\nPU0,0;\nSP0;\n", "", "hpgl", true},
		{"IN;\nSP1;\nVS4;\nPU0,0;\nSP;", "", "hpgl2", true},
		{"IN;\nSP1;\nVS4;\nPU0,0;\n", "", "hpgl", false},
		{"IN;\nSP1;\nVS4;\nPD0,0,2", "", "hpgl2", false},
		{"IN;SP1;PU0,0;PD3,3;PU;", "", "hpgl", true}, // of another hand
	} {
		p := program.Program{Machine: c.machine, Language: c.language}
		if err := ended("plot", []byte(c.text), p); (err == nil) != c.whole {
			t.Errorf("%q: %v", c.text, err)
		}
	}
}
