package report_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/plot/report"
)

// The files of a job, the report among them, do not depend on the number of cores; and
// every stage that may take long tells how far it is, in rising numbers up to its total, and
// by small parts of it at a time.
func TestCoresMakeNoDifferenceToFiles(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for name, design := range map[string][]byte{"straight": scattered(700, false), "closed": scattered(120, true)} {
		var first []job.File
		for _, cores := range []int{1, 2} {
			runtime.GOMAXPROCS(cores)
			var told stagesTold
			in, s, extra, err := job.ReadInputsTold(func(string, int) ([]byte, error) { return design, nil },
				job.Settings{Design: "scattered.svg", Effort: "quick", Width: 150, Print: "a4"},
				func(done, total int) { told.tell(t, "reading", done, total) })
			if err != nil {
				t.Fatal(err)
			}
			j, err := plot.Make(context.Background(), in, s, plot.Options{Progress: func(step plot.Step, done, total int) { told.tell(t, string(step), done, total) }})
			if err != nil {
				t.Fatal(err)
			}
			_, files, err := report.Files(j, extra, report.Options{Progress: func(done, total int) { told.tell(t, "files", done, total) }})
			if err != nil {
				t.Fatal(err)
			}
			told.whole(t, "reading", plot.Snapping, plot.Joining, plot.Fitting, plot.Writing, plot.Verifying, "files")
			told.steady(t, 0.2, plot.Ordering, plot.Fitting, plot.Verifying, "files")
			told.steady(t, 0.5, plot.Snapping, plot.Joining, plot.Writing)
			if first == nil {
				first = files
				continue
			}
			if len(files) != len(first) {
				t.Fatalf("%s: %d files on two cores, %d on one", name, len(files), len(first))
			}
			for i, f := range files {
				if f.Name != first[i].Name || !bytes.Equal(f.Data, first[i].Data) {
					t.Errorf("%s: %s on two cores is not what %s is on one", name, f.Name, first[i].Name)
				}
			}
		}
	}
}

// stagesTold holds what each stage told last.
type stagesTold map[string]struct {
	done, total int
	most        float64 // of all, by which it went on at once
}

func (s *stagesTold) tell(t *testing.T, stage string, done, total int) {
	if *s == nil {
		*s = stagesTold{}
	}
	was := (*s)[stage]
	if was.total > 0 && (done < was.done || total != was.total) {
		t.Errorf("%s tells %d of %d after %d of %d", stage, done, total, was.done, was.total)
	}
	if total > 0 {
		was.most = max(was.most, float64(done-was.done)/float64(total))
	}
	was.done, was.total = done, total
	(*s)[stage] = was
}

// whole judges that the stages told at last that all of them is done.
func (s stagesTold) whole(t *testing.T, stages ...plot.Step) {
	for _, stage := range stages {
		if last := s[string(stage)]; last.total == 0 || last.done != last.total {
			t.Errorf("%s told at last that %d of %d is done", stage, last.done, last.total)
		}
	}
}

// steady judges that no stage went on by more than a share of all at once.
func (s stagesTold) steady(t *testing.T, most float64, stages ...plot.Step) {
	for _, stage := range stages {
		if s[string(stage)].most > most {
			t.Errorf("%s went on by %.3f of all at once, and may by %g", stage, s[string(stage)].most, most)
		}
	}
}

// scattered is a page of short straight strokes, or of small closed curves, that lie
// anywhere.
func scattered(n int, closed bool) []byte {
	rnd := rand.New(rand.NewPCG(5, uint64(n)))
	side := 3 * math.Sqrt(float64(n))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%gmm" height="%gmm" viewBox="0 0 %g %g"><g fill="none" stroke="black">`, side, side, side, side)
	for range n {
		x, y := 2+rnd.Float64()*(side-4), 2+rnd.Float64()*(side-4)
		if r := 0.4 + 0.8*rnd.Float64(); closed {
			k, s := 0.5523*r, 0.6+0.8*rnd.Float64()
			fmt.Fprintf(&b, "<path d=\"M%.3f %.3fC%.3f %.3f %.3f %.3f %.3f %.3fS%.3f %.3f %.3f %.3fS%.3f %.3f %.3f %.3fS%.3f %.3f %.3f %.3fZ\"/>\n",
				x+r, y, x+r, y+k*s, x+k, y+r*s, x, y+r*s, x-r, y+k, x-r, y, x-k, y-r, x, y-r, x+r, y-k*s, x+r, y)
		} else {
			a := 2 * math.Pi * rnd.Float64()
			fmt.Fprintf(&b, "<path d=\"M%.3f %.3fL%.3f %.3f\"/>\n", x, y, x+r*math.Cos(a), y+r*math.Sin(a))
		}
	}
	return []byte(b.String() + "</g></svg>")
}
