package bench

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/link"
	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/job"
)

// crossed is a drawing with lines that run through all of it, so that every load after the
// first meets ink.
const crossed = `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="200mm" viewBox="0 0 400 200" fill="none" stroke="black"><path d="M0 0h400v200h-400z"/><path d="M20 20l360 160M20 180l360 -160M20 60h360M20 100h360M20 140h360M100 20v160M200 20v160M300 20v160"/></svg>`

// withPanels is a bench with a rug in several loads.
func withPanels(t *testing.T) *bench {
	t.Helper()
	b := withDrawing(t, "runner.svg", crossed)
	err := setOn(b, patch{"width": "800mm"})
	if err == nil || !told.TroubleOf(err).Loads {
		t.Fatalf("a rug that is too large offers no loads: %v", err)
	}
	if err := setOn(b, patch{"width": "800mm", "panels": "true"}); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	return b
}

func setOn(b *bench, p patch) error { return b.change(func(j *task) error { return b.apply(j, p) }) }

func settle(t *testing.T, b *bench) {
	t.Helper()
	waitUntil(t, b, func() bool { return b.job.whole })
	b.work.Wait()
}

// steerTo finds the points of a load with the pen, where the cloth lies as it should, until
// the error to expect is enough or all are found; few is how many at the most, 0
// for as many as it takes.
func steerTo(t *testing.T, b *bench, load int, few int) {
	t.Helper()
	if err := b.beginSteering(link.SimPort, load); err != nil {
		t.Fatal(err)
	}
	for n := 1; ; n++ {
		b.mu.Lock()
		shown := b.steer.shown()
		b.mu.Unlock()
		s := shown.Search
		if s.Enough || s.Point == 0 || few > 0 && n > few {
			break
		}
		if s.Points[s.Point-1].Found {
			t.Fatalf("point %d is sought again", s.Point)
		}
		if err := b.steerBy(steering{Do: "next"}); err != nil {
			t.Fatal(err)
		}
		at := s.Points[s.Point-1].Place
		if err := b.steerBy(steering{Do: "mark", Across: at[0], Along: at[1]}); err != nil {
			t.Fatal(err)
		}
	}
}

// TestPointsOfALoadOnThePage finds the points of load 2 with the pen: not before load 1 is
// drawn, not by too few of them, and once load 2 is drawn no longer.
func TestPointsOfALoadOnThePage(t *testing.T) {
	t.Parallel()
	b := withPanels(t)
	if err := b.beginSteering(link.SimPort, 2); err == nil || !strings.Contains(err.Error(), "found by what the loads before it draw") {
		t.Fatalf("load 2 is looked for before load 1 is drawn: %v", err)
	}
	drawKit(t, b, doDraw, part{})
	if err := b.beginSteering(link.SimPort, 1); err == nil {
		t.Fatal("a load that is drawn is looked for")
	}
	steerTo(t, b, 0, 3)
	if err := b.leaveSteering(); err == nil || b.job.settings.MarksFor["2"] != "" {
		t.Fatalf("three points will do: %v", err)
	}
	first := b.job.made.PenRuns[0].Text
	steerTo(t, b, 2, 0)
	if n := len(b.steer.found.Marks()); n < 4 || !b.steer.load.progress.Enough() {
		t.Errorf("gone on with to %d marks: %+v", n, b.steer.load.progress)
	}
	if err := b.leaveSteering(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	k := b.job.shown().Kit
	if k.Due != 2 || k.Loads[1].Waits || !k.Loads[1].Found || !bytes.Equal(b.job.made.PenRuns[0].Text, first) {
		t.Fatalf("with marks: %+v, %s %q", k, b.last.word, b.last.text)
	}
	if *Thorough {
		takeAgain(t, b)
	}
	drawKit(t, b, doDraw, part{})
	if k := b.job.shown().Kit; k.Due != 0 || b.last.word != wordDrawn {
		t.Errorf("after load 2: %+v, %s %q", k.Loads, b.last.word, b.last.text)
	}
	if err := b.beginSteering(link.SimPort, 2); err == nil {
		t.Error("a load that is drawn is looked for")
	}
}

// takeAgain takes the points of load 2 once more, as may be done until the load is begun.
func takeAgain(t *testing.T, b *bench) {
	t.Helper()
	steerTo(t, b, 2, 0)
	at := b.steer.load.Points[0].Place
	for _, o := range []steering{{Do: "point", Number: 1}, {Do: "step", X: 0.1}, {Do: "mark", Across: at.Across, Along: at.Along}} {
		if err := b.steerBy(o); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.leaveSteering(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
}

// TestMarksOutliveTheProgram takes points of a load, ends the program, and goes on: no mark is
// lost, and those of another cloth or of other points are not taken for them.
func TestMarksOutliveTheProgram(t *testing.T) {
	t.Parallel()
	b := withPanels(t)
	drawKit(t, b, doDraw, part{})
	kept := filepath.Join(b.job.dir, "load-2", "marks-taken.toml")
	steerTo(t, b, 2, 3)
	if data, err := os.ReadFile(kept); err != nil || !bytes.Equal(data, cloth.FormatMarks(b.steer.found.Marks())) {
		t.Fatalf("the marks that were taken: %q, %v", data, err)
	}
	again := func(b *bench) *bench {
		b.endSteering()
		next, _, _ := attacked(t)
		next.simSpeed = 1000
		if err := next.openFile(b.job.dir); err != nil {
			t.Fatal(err)
		}
		settle(t, next)
		return next
	}
	b = again(b)
	if err := b.beginSteering(link.SimPort, 2); err != nil {
		t.Fatal(err)
	}
	if s := b.steer.shown(); len(b.steer.found.Marks()) != 3 || !strings.Contains(s.Said, "3 marks that were taken before are gone on with") {
		t.Fatalf("gone on with %d marks: %q", len(b.steer.found.Marks()), s.Said)
	}
	if err := b.steerBy(steering{Do: "remove", Number: 3}); err != nil {
		t.Fatal(err)
	}
	b.endSteering()
	if !*Thorough {
		return
	}
	steerTo(t, b, 2, 0)

	// Enough were found; the program ends before the pen was left, and leaving it later makes
	// the load.
	b = again(b)
	if err := b.beginSteering(link.SimPort, 2); err != nil || !b.steer.load.progress.Enough() {
		t.Fatalf("gone on with: %v", err)
	}
	if err := b.leaveSteering(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	if k := b.job.shown().Kit; k.Due != 2 || !k.Loads[1].Found {
		t.Fatalf("with marks: %+v", k)
	}
	if _, err := os.Stat(kept); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("marks that the job has are still kept: %v", err)
	}

	// Marks of other points are left out, and a new cloth has none.
	other := cloth.FormatMarks([]cloth.Mark{{Place: weave.Place{Across: 1.5, Along: 2.5}, At: paths.Point{X: 10, Y: 10}}})
	if err := os.WriteFile(kept, other, 0o666); err != nil {
		t.Fatal(err)
	}
	if err := b.beginSteering(link.SimPort, 2); err != nil || len(b.steer.found.Marks()) < 4 {
		t.Fatalf("marks of other points: %v", err)
	}
	b.endSteering()
	if err := b.newClothOn(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(kept); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a new cloth has marks: %v", err)
	}
}

// findLoad writes the marks of a load, found where the cloth lies as it is counted, and
// what "weftplot prepare --marks-for" makes of the job file.
func findLoad(t *testing.T, b *bench, n int) {
	t.Helper()
	var marks []cloth.Mark
	l := b.job.made.Loads[n-1]
	for _, f := range l.Points {
		marks = append(marks, cloth.Mark{Place: f.Place, At: l.Registration.Point(f.Place)})
	}
	name := fmt.Sprintf("found-%d.toml", n)
	s := b.job.settings
	s.MarksFor = map[string]string{fmt.Sprint(n): name}
	text, err := s.Format()
	if err = errors.Join(err, os.WriteFile(filepath.Join(b.job.dir, name), cloth.FormatMarks(marks), 0o666), os.WriteFile(filepath.Join(b.job.dir, jobFile), text, 0o666)); err != nil {
		t.Fatal(err)
	}
	b.takeOver()
	b.work.Wait()
	if !b.job.whole {
		t.Fatalf("load %d with marks is not made: %+v, %+v", n, b.last.trouble, b.job.byHand)
	}
}

// TestPanelsOnThePage is offered loads where a rug is too large, sees all of it with its
// loads and joints, draws the load that is due, is refused the next one until its marks
// are there, and draws it then.
func TestPanelsOnThePage(t *testing.T) {
	t.Parallel()
	b := withPanels(t)
	made := b.job.made
	k := b.job.shown().Kit
	if k == nil || !k.Panels || len(k.Loads) != 2 || len(k.Loads) != len(made.Loads) || len(k.Joints) == 0 || len(k.Joints) != len(made.Panels.Joints) || k.Due != 1 {
		t.Fatalf("the page is told %+v", k)
	}
	for i, l := range k.Loads {
		if l.Waits != (i > 0) || l.Found || l.Box != told.FrontBox(b.job.sketch, made.Loads[i].Window) || !strings.Contains(l.Lay, " lies at ") {
			t.Errorf("load %+v", l)
		}
	}
	if at := fmt.Sprintf("%.1f mm, %.1f mm", b.job.report.Loads[0].AtMM[0], b.job.report.Loads[0].AtMM[1]); !strings.Contains(k.Loads[0].Lay, at) {
		t.Errorf("load 1 lies at %s: %q", at, k.Loads[0].Lay)
	}
	says := func(text string) bool {
		return strings.Contains(text, "find its points on the step The cloth on the frame")
	}
	if !says(k.Loads[1].Do) {
		t.Errorf("load 2: %q", k.Loads[1].Do)
	}
	drawKit(t, b, doDraw, part{})
	if k := b.job.shown().Kit; k.Due != 2 || k.Loads[0].State != told.Drawn || k.Loads[1].State != told.Due || !strings.Contains(b.last.text, "Load 1 of 2 is drawn") {
		t.Errorf("after load 1: %+v, %s %q", k.Loads, b.last.word, b.last.text)
	}
	if err := b.start(doDraw, link.SimPort, part{}); err == nil || !says(told.TroubleOf(err).Do) {
		t.Errorf("a load without marks is drawn: %v", err)
	}
	if err := setOn(b, patch{"width": "850mm"}); err == nil {
		t.Error("the settings of a rug of which a load is drawn are changed")
	}
	findLoad(t, b, 2)
	if k := b.job.shown().Kit; k.Due != 2 || k.Loads[0].State != told.Drawn || k.Loads[1].Waits || !k.Loads[1].Found {
		t.Fatalf("with marks: %+v, %s %q", k, b.last.word, b.last.text)
	}
	drawKit(t, b, doDraw, part{})
	if k := b.job.shown().Kit; k.Due != 0 || b.last.word != wordDrawn || slices.ContainsFunc(k.Loads, func(l told.Load) bool { return l.State != told.Drawn }) {
		t.Errorf("after load 2: %+v, %s %q", k.Loads, b.last.word, b.last.text)
	}
	if err := b.newClothOn(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	if k := b.job.shown().Kit; k.Due != 1 || !k.Loads[1].Waits || len(b.job.settings.MarksFor) != 0 {
		t.Errorf("on new cloth: %+v", k.Loads)
	}
}

// TestPanelsSettings sets and takes back what is said of loads.
func TestPanelsSettings(t *testing.T) {
	t.Parallel()
	b := withPanels(t)
	for _, p := range []patch{{"lap": "wide"}, {"lap": "90mm"}, {"copies": "2"}, {"lay": job.LaidTurned}, {"panels": "false"}} {
		was := b.job
		if err := setOn(b, p); err == nil || b.job != was {
			t.Errorf("%v is taken: %v", p, err)
		}
	}
	if err := setOn(b, patch{"lap": "5mm"}); err != nil || b.job.settings.LapMM() != 5 {
		t.Errorf("a lap: %v, %v", err, b.job.settings.Lap)
	}
	if err := setOn(b, patch{"width": "300mm"}); err != nil || b.job.shown().Kit != nil {
		t.Errorf("a rug that fits: %v", err)
	}
	if err := setOn(b, patch{"panels": "false"}); err != nil || b.job.settings.Panels || b.job.settings.Lap != 0 {
		t.Errorf("taken back: %v, %+v", err, b.job.settings)
	}
}
