package report

import (
	"fmt"

	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/proof"
)

// Files returns everything that goes into the job folder, the report first: the
// programs, the two proofs, the sheet, job.toml, and the extra files that job.toml
// names, such as the design itself, so that the folder makes itself again. The
// report is that of the files. A picture that cannot be drawn is an error.
func Files(j plot.Job, extra []job.File, opt Options) (Report, []job.File, error) {
	r := Of(j, opt)
	var files []job.File
	plan, printed, err := NewPaper(j)
	if err != nil {
		return Report{}, nil, err
	}
	if printed {
		r.Paper = paperReport(j, plan)
		data, err := plan.PDF()
		if err != nil {
			return Report{}, nil, err
		}
		files = append(files, job.File{Name: "paper.pdf", Data: data})
	}
	for _, run := range j.PenRuns {
		files = append(files, job.File{Name: run.File, Data: run.Text})
	}
	for _, pr := range pictures(j, r) {
		svg, err := proof.SVG(pr.scene)
		if err != nil {
			return Report{}, nil, fmt.Errorf("%s: %w", pr.name, err)
		}
		files = append(files, job.File{Name: pr.name, Data: svg})
	}
	settings, err := j.Settings.Format()
	if err != nil {
		return Report{}, nil, err
	}
	sheet, err := SheetPDF(j, r, opt)
	if err != nil {
		return Report{}, nil, err
	}
	files = append(files, job.File{Name: "sheet.txt", Data: Sheet(j, r, opt)}, job.File{Name: "sheet.pdf", Data: sheet}, job.File{Name: "job.toml", Data: settings})
	files = append(files, extra...)
	r.Files, r.Hashes = []string{jobfolder.ReportName}, map[string]string{}
	for _, f := range files {
		r.Files = append(r.Files, f.Name)
		r.Hashes[f.Name] = jobfolder.Hash(f.Data)
	}
	for _, p := range r.Pens {
		r.Programs = append(r.Programs, ProgramFile{p.File, r.Hashes[p.File], p.Strokes})
	}
	report, err := Encode(r)
	if err != nil {
		return Report{}, nil, fmt.Errorf("%s: %w", jobfolder.ReportName, err)
	}
	return r, append([]job.File{{Name: jobfolder.ReportName, Data: report}}, files...), nil
}

// A picture is one of the job folder's.
type picture struct {
	name  string
	scene proof.Scene
}

// pictures returns those of a job: the whole, and, where there are several loads, each.
func pictures(j plot.Job, r Report) []picture {
	out := []picture{{"drawn.svg", DrawnScene(j, r)}, {"rug.svg", RugScene(j)}}
	if len(j.Loads) < 2 {
		return out
	}
	for i, l := range j.Loads {
		name := fmt.Sprintf("load-%d/drawn.svg", l.N)
		if j.Panels == nil {
			out = append(out, picture{name, LoadScene(j, i)})
			continue
		}
		out = append(out, picture{name, panelScene(j, i)})
		if len(l.Points) > 0 {
			out = append(out, picture{fmt.Sprintf("load-%d/points.svg", l.N), pointsScene(j, i)})
		}
	}
	return out
}
