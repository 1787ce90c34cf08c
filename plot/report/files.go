package report

import (
	"context"
	"fmt"
	"slices"

	"weftplot/paths/cores"
	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
	"weftplot/plot/paper"
	"weftplot/plot/proof"
)

// Files returns everything that goes into the job folder, the report first: the
// programs, the two proofs, the sheet, job.toml, and the extra files that job.toml
// names, such as the design itself, so that the folder makes itself again. The
// report is that of the files, which are made on all cores at once. A picture that
// cannot be drawn is an error.
func Files(j plot.Job, extra []job.File, opt Options) (Report, []job.File, error) {
	r := Of(j, opt)
	plan, printed, err := NewPaper(j)
	if err != nil {
		return Report{}, nil, err
	}
	if printed {
		r.Paper = paperReport(j, plan)
	}
	files, hashes, err := made(filesOf(j, r, plan, printed, extra, opt), opt)
	if err != nil {
		return Report{}, nil, err
	}
	r.Files, r.Hashes = []string{jobfolder.ReportName}, map[string]string{}
	for i, f := range files {
		r.Files = append(r.Files, f.Name)
		r.Hashes[f.Name] = hashes[i]
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

// A task makes one file.
type task struct {
	name string
	// parts are how much work it is, beside that of the others.
	parts int
	// data returns the file. It tells how much of it is done where that may take long.
	data func(tell func(done, total int)) ([]byte, error)
}

// filesOf returns what makes the files of a job beside its report, in their order.
func filesOf(j plot.Job, r Report, plan paper.Plan, printed bool, extra []job.File, opt Options) []task {
	ready := func(data []byte) func(func(int, int)) ([]byte, error) {
		return func(func(int, int)) ([]byte, error) { return data, nil }
	}
	lines := 1 + len(j.Drawn)
	var out []task
	if printed {
		out = append(out, task{"paper.pdf", 4 * lines, plan.PDFTold})
	}
	for _, run := range j.PenRuns {
		out = append(out, task{run.File, 1, ready(run.Text)})
	}
	for _, p := range pictures(j, r) {
		out = append(out, task{p.name, 4 * lines, func(tell func(int, int)) ([]byte, error) {
			svg, err := proof.SVGTold(p.scene(), tell)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p.name, err)
			}
			return svg, nil
		}})
	}
	out = append(out,
		task{"sheet.txt", 1, func(func(int, int)) ([]byte, error) { return Sheet(j, r, opt), nil }},
		task{"sheet.pdf", 5 * lines, func(tell func(int, int)) ([]byte, error) { return sheetPDF(j, r, opt, tell) }},
		task{"job.toml", 1, func(func(int, int)) ([]byte, error) { return j.Settings.Format() }})
	for _, f := range extra {
		out = append(out, task{f.Name, 1, ready(f.Data)})
	}
	return out
}

// made returns the files of tasks in their order, and their hashes. Those that are the most
// work are begun first: no core then waits for a long one at the end, and what is drawn for
// the largest pictures is not all kept at once.
func made(tasks []task, opt Options) (files []job.File, hashes []string, err error) {
	files, hashes = make([]job.File, len(tasks)), make([]string, len(tasks))
	total := 0
	for _, t := range tasks {
		total += t.parts
	}
	begun := make([]int, len(tasks))
	for i := range begun {
		begun[i] = i
	}
	slices.SortStableFunc(begun, func(a, b int) int { return tasks[b].parts - tasks[a].parts })
	meter := cores.NewMeter(total, opt.Progress)
	err = cores.Each(context.Background(), len(tasks), func(k int) error {
		i := begun[k]
		t, told := tasks[i], 0
		tell := func(done, total int) {
			now := int(float64(t.parts) * float64(done) / float64(total))
			meter.Add(now - told)
			told = now
		}
		data, err := t.data(tell)
		if err != nil {
			return err
		}
		files[i], hashes[i] = job.File{Name: t.name, Data: data}, jobfolder.Hash(data)
		tell(1, 1)
		return nil
	})
	return files, hashes, err
}

// A picture is one of the job folder's.
type picture struct {
	name  string
	scene func() proof.Scene
}

// pictures returns those of a job: the whole, and, where there are several loads, each.
func pictures(j plot.Job, r Report) []picture {
	out := []picture{
		{"drawn.svg", func() proof.Scene { return DrawnScene(j, r) }},
		{"rug.svg", func() proof.Scene { return RugScene(j) }},
	}
	if len(j.Loads) < 2 {
		return out
	}
	for i, l := range j.Loads {
		name := fmt.Sprintf("load-%d/drawn.svg", l.N)
		if j.Panels == nil {
			out = append(out, picture{name, func() proof.Scene { return LoadScene(j, i) }})
			continue
		}
		out = append(out, picture{name, func() proof.Scene { return panelScene(j, i) }})
		if len(l.Points) > 0 {
			out = append(out, picture{fmt.Sprintf("load-%d/points.svg", l.N), func() proof.Scene { return pointsScene(j, i) }})
		}
	}
	return out
}
