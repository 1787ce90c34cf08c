package jobfolder_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
)

func ExampleWrite() {
	dir, err := os.MkdirTemp("", "jobs")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	dest := filepath.Join(dir, "mat-job")
	settings := []byte("design = \"design.svg\"\n")
	program := []byte("G21 G90\nG0 X10 Y10\nM3\nG1 X60 Y10 F1200\nM5\nM2\n")
	report := fmt.Sprintf(`{"version": 1, "files": ["report.json", "job.toml", "plot.gcode"], "pens": [{"pen": "fine-marker", "file": "plot.gcode"}],
		"hashes": {"job.toml": %q, "plot.gcode": %q}}`, jobfolder.Hash(settings), jobfolder.Hash(program))
	files := []job.File{
		{Name: jobfolder.ReportName, Data: []byte(report)},
		{Name: "job.toml", Data: settings},
		{Name: "plot.gcode", Data: program},
	}
	if err := jobfolder.Write(dest, files, jobfolder.Writing{}); err != nil {
		log.Fatal(err)
	}
	programs, machine, err := jobfolder.Place(dir).ReadFolder(context.Background(), "mat-job", jobfolder.Wanted{})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range programs {
		fmt.Printf("%s by %s on %s: %d strokes\n", filepath.Base(p.File), p.Pen, machine.Name, len(p.Program.Strokes()))
	}
	// Output:
	// plot.gcode by fine-marker on practice: 1 strokes
}
