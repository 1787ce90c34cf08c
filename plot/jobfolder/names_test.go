package jobfolder

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/paths/fault"
	"weftplot/plot/job"
)

func TestNamesInAJobFolder(t *testing.T) {
	for _, name := range []string{"plot.gcode", "load-1/plot.gcode", "load-12/drawn.svg"} {
		if !isName(name) || !isCleanName(name) {
			t.Errorf("%q is refused", name)
		}
	}
	for _, name := range []string{"", ".", "..", "../x", "/x", "load-1/../x", "load-1//x", "load-1/a/x", "load-0/x", "load-x/x", "other/x",
		"load-1/", "load-1/..", "load-1/.", `load-1\x`, `load-1/a\x`, `..\x`, "load-1", "LOAD-1/x"} {
		if name != "load-1" && isName(name) {
			t.Errorf("%q is taken for a file of the folder", name)
		}
	}
}

// Files of loads are written, replaced and removed with the folder, a person's own files
// stay, and what leads out of the folder is refused.
func TestFolderWithLoads(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "kit")
	folder := func(names ...string) []job.File {
		var files []job.File
		quoted, hashes := []string{`"report.json"`}, []string{}
		for _, n := range names {
			data := []byte("file " + n)
			files = append(files, job.File{Name: n, Data: data})
			quoted, hashes = append(quoted, `"`+n+`"`), append(hashes, `"`+n+`":"`+Hash(data)+`"`)
		}
		report := `{"version":1,"name":"mat","files":[` + strings.Join(quoted, ",") + `],"hashes":{` + strings.Join(hashes, ",") + `}}`
		return append(files, job.File{Name: ReportName, Data: []byte(report)})
	}
	read := func() []string {
		names, err := listed(dir)
		if err != nil {
			t.Fatal(err)
		}
		slices.Sort(names)
		return names
	}
	if err := Write(dir, folder("job.toml", "load-1/plot.gcode", "load-2/plot.gcode"), Writing{}); err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(dir, "load-2", "own.txt")
	if err := os.WriteFile(own, []byte("mine"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := Write(dir, folder("job.toml", "load-3/plot.gcode"), Writing{}); err != nil {
		t.Fatal(err)
	}
	if got, want := read(), []string{"job.toml", "load-2/own.txt", "load-3/plot.gcode", "report.json"}; !slices.Equal(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(dir, "load-4")); err != nil {
		t.Fatal(err)
	}
	err := Write(dir, folder("job.toml", "load-3/plot.gcode", "load-4/plot.gcode"), Writing{})
	if entries, _ := os.ReadDir(outside); !errors.Is(err, fault.Input) || len(entries) > 0 {
		t.Errorf("a link in the place of a load: %v, %d files outside", err, len(entries))
	}
	if got, want := read(), []string{"job.toml", "load-2/own.txt", "load-3/plot.gcode", "load-4", "report.json"}; !slices.Equal(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
	for _, name := range []string{"../x", "load-1/../../x", "/tmp/x", "sub/x"} {
		if err := Write(dir, append(folder("job.toml"), job.File{Name: name, Data: nil}), Writing{}); !errors.Is(err, fault.Input) {
			t.Errorf("%q is written: %v", name, err)
		}
		if _, err := parseManifest("report.json", []byte(`{"version":1,"files":["`+name+`"]}`)); !errors.Is(err, fault.Input) {
			t.Errorf("%q is read: %v", name, err)
		}
	}
}
