package bench

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/link"
	"weftplot/plot/job"
)

// withDemo is a bench with the demo's drawing on it.
func withDemo(t *testing.T) *bench {
	t.Helper()
	b, _, _ := attacked(t)
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	return b
}

// withDrawing is a bench with a drawing on it, and a plotter a thousand times as fast as life.
func withDrawing(t *testing.T, name, data string) *bench {
	t.Helper()
	b, _, _ := attacked(t)
	b.simSpeed = 1000
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := b.openFile(file); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestNoMachine makes a job for paper alone, in every way it is brought onto cloth: it
// is whole, both pictures have its strokes, what would move a machine is refused, and
// its folder is opened again.
func TestNoMachine(t *testing.T) {
	t.Parallel()
	b := withDemo(t)
	ways := []job.Transfer{job.Tracing, job.IronOn, job.Direct}
	if !*Thorough {
		ways = ways[1:2] // what is ironed on is asked the most
	}
	for _, how := range ways {
		err := b.change(func(j *task) error {
			return errors.Join(b.apply(j, patch{"machine": job.NoMachine}), b.apply(j, patch{"transfer": string(how)}))
		})
		if err != nil {
			t.Fatal(err)
		}
		waitUntil(t, b, func() bool { return b.job.whole })
		b.work.Wait()
		j := b.job
		says := j.shown()
		if says.Printed == nil || len(says.Printed.Sheets) == 0 || says.HasMachine || len(says.Largest) > 0 {
			t.Errorf("%s: the page is told %+v", how, says.Printed)
		}
		if pressed := len(says.Printed.Presses) > 0; pressed != (how == job.IronOn) || pressed != (says.Printed.Minutes > 0) {
			t.Errorf("%s: %d presses in %d minutes", how, len(says.Printed.Presses), says.Printed.Minutes)
		}
		for _, do := range []string{doEdge, doRehearse, doDraw, doResume} {
			if err := b.start(do, link.SimPort, part{}); !errors.Is(err, errNoMachine) {
				t.Errorf("%s: %s gives %v", how, do, err)
			}
		}
		if err := b.beginSteering(link.SimPort, 0); !errors.Is(err, errNoMachine) {
			t.Errorf("%s: the pen is taken: %v", how, err)
		}
	}
	dir := b.job.dir
	again, _, _ := attacked(t)
	if err := again.openFile(filepath.Join(dir, jobFile)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, again, func() bool { return again.job.whole })
	again.work.Wait()
	if s := again.job.shown(); s.HasMachine || s.Printed == nil {
		t.Errorf("opened again the job is told as %+v", s)
	}
}

// TestTooMuchPaper asks for a rug of more sheets than are printed: the page has a
// sentence beside the paper, and other paper mends it.
func TestTooMuchPaper(t *testing.T) {
	t.Parallel()
	b := withDemo(t)
	set := func(p patch) error { return b.change(func(j *task) error { return b.apply(j, p) }) }
	if err := set(patch{"machine": job.NoMachine, "width": "8m"}); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.noPaper != nil })
	if says := b.job.noPaper; !strings.Contains(says.What, "sheets of letter") || !strings.Contains(says.Do, "larger paper") {
		t.Errorf("it says %+v", says)
	}
	if err := set(patch{"print": "78in-roll"}); err != nil {
		t.Fatal(err)
	}
	if err := set(patch{"width": "2m"}); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole && b.job.noPaper == nil })
	b.work.Wait()
	for key, value := range map[string]string{"print": "papyrus", "overlap": "30m", "printer-scale": "200%", "print-margin": "1m", "iron": "soap", "print-line": "2m", "print-grey": "100", "border-on": "wool"} {
		was := b.job
		if err := set(patch{key: value}); err == nil || b.job != was {
			t.Errorf("%s = %s is taken", key, value)
		}
	}
}
