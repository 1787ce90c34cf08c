package report_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

func Example() {
	const mat = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100" fill="none" stroke="black">
<g id="frame"><path d="M0 0 H200 V100 H0 Z"/></g></svg>`
	read := func(string, int) ([]byte, error) { return []byte(mat), nil }
	in, settings, kept, err := job.ReadInputs(read, job.Settings{Design: "mat.svg", NoSnap: true})
	if err != nil {
		log.Fatal(err)
	}
	j, err := plot.Make(context.Background(), in, settings, plot.Options{})
	if err != nil {
		log.Fatal(err)
	}
	rep, files, err := report.Files(j, kept, report.Options{Names: func(setting string) string { return "--" + setting }})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(rep.Strokes, "stroke,", rep.DrawMM, "mm,", len(files), "files")
	for _, f := range files {
		if f.Name == "sheet.txt" {
			fmt.Println(strings.Contains(string(f.Data), "give --count or"))
		}
	}
	// Output:
	// 1 stroke, 600 mm, 8 files
	// true
}
