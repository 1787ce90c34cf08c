package plot

import (
	"fmt"

	"weftplot/plot/proof"
)

// Files returns everything that goes into the job folder: the programs, the two
// proofs, the report, the sheet, job.toml, and the extra files that job.toml
// names, such as the design itself, so that the folder makes itself again.
func (j *Job) Files(extra []File) ([]File, error) {
	var files []File
	for i, r := range j.Runs {
		files = append(files, File{j.FileName(i), r.Text})
	}
	for _, pr := range []struct {
		name  string
		scene proof.Scene
	}{{"drawn.svg", j.DrawnScene()}, {"rug.svg", j.RugScene()}} {
		svg, err := proof.SVG(pr.scene)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", pr.name, err)
		}
		files = append(files, File{pr.name, svg})
	}
	files = append(files, File{"sheet.txt", j.Sheet()})
	settings, err := j.Settings.Format()
	if err != nil {
		return nil, err
	}
	files = append(files, File{"job.toml", settings})
	files = append(files, extra...)
	names := []string{reportName}
	for _, f := range files {
		names = append(names, f.Name)
	}
	report, err := Encode(j.Report(names))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", reportName, err)
	}
	return append([]File{{reportName, report}}, files...), nil
}
