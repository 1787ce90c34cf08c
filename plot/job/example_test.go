package job_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"weftplot/paths/fault"
	"weftplot/plot/job"
)

func ExampleParseSettings() {
	s, err := job.ParseSettings("job.toml", []byte("design = \"mat.svg\"\nwidth = \"61cm\"\nborder = \"4,2\"\n"))
	if err != nil {
		log.Fatal(err)
	}
	rows, err := s.BorderRows()
	fmt.Println(s.Width, rows, s.Craft, err)

	_, err = job.ParseSettings("job.toml", []byte("design = \"mat.svg\"\nwidth = 24\n"))
	fmt.Println(err, errors.Is(err, fault.Input))
	// Output:
	// 610mm [4 2] punch-needle <nil>
	// job.toml: width: the number 24 has no unit true
}

func ExampleSettings_With() {
	s, err := job.Settings{Design: "mat.svg", Height: 500}.With(map[string][]string{
		"width":     {"61cm"},
		"clearance": {"0"},
		"pen-for":   {"lettering=extra-fine-marker"},
	})
	fmt.Println(s.Width, s.Height, s.ClearRows(), s.PenFor, err)

	_, err = s.With(map[string][]string{"at": {"50mm"}})
	fmt.Println(err)
	fmt.Println(fault.Rename(err.Error(), func(setting string) string { return "--" + setting }))
	// Output:
	// 610mm 0mm 0 map[lettering:extra-fine-marker] <nil>
	// [at]: "50mm" is not a place
	// --at: "50mm" is not a place
}

func ExampleWriteFolder() {
	dir, err := os.MkdirTemp("", "jobs")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	folder := filepath.Join(dir, "mat-job")
	settings := []byte("design = \"design.svg\"\n")
	program := []byte("G21 G90\nG0 X10 Y10\nM3\nG1 X60 Y10 F1200\nM5\nM2\n")
	report := fmt.Sprintf(`{"version": 1, "files": ["report.json", "job.toml", "plot.gcode"], "pens": [{"pen": "fine-marker", "file": "plot.gcode"}],
		"hashes": {"job.toml": %q, "plot.gcode": %q}}`, job.Hash(settings), job.Hash(program))
	files := []job.File{
		{Name: job.ReportName, Data: []byte(report)},
		{Name: "job.toml", Data: settings},
		{Name: "plot.gcode", Data: program},
	}
	if err := job.WriteFolder(folder, files, job.Writing{}); err != nil {
		log.Fatal(err)
	}
	programs, machine, err := job.Place(dir).ReadFolder(context.Background(), "mat-job", job.Wanted{})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range programs {
		fmt.Printf("%s by %s on %s: %d strokes\n", filepath.Base(p.File), p.Pen, machine.Name, len(p.Program.Strokes()))
	}
	// Output:
	// plot.gcode by fine-marker on practice: 1 strokes
}
