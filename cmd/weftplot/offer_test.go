//go:build unix

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/plot/jobfolder"
	"weftplot/plot/program"
)

// pace is how many times as fast as life plotters are that are sent to over a
// pseudo-terminal here. The sender's clock does not run faster with them, and what it sees
// of a stroke that is drawn between two of its looks reads as if a line of the program was
// lost: strokes last longer than a busy computer takes for a few looks.
const pace = 30

// Before the first run on a piece of cloth the way can be seen pen up, again and
// again; then the job is drawn, and the next time nobody asks.
func TestOffer(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, benchFile), plotter(t, pace), newPerson(t)
	wait := p.run(dir, "send", "job", "--port", server.Path)
	p.await("hands, hair")
	p.await("q leave: ")
	p.press("x") // no answer
	p.press("e")
	p.await("q leave: ")
	once := server.Cloth()
	if once.Drawn > 0 || once.Travelled < 2*(200+100) {
		t.Errorf("round the edge it drew %.1f mm and travelled %.1f", once.Drawn, once.Travelled)
	}
	p.press("R")
	p.await("q leave: ")
	twice := server.Cloth()
	if twice.Drawn > 0 || twice.Travelled < once.Travelled+11*100 {
		t.Errorf("rehearsing it drew %.1f mm and travelled %.1f more", twice.Drawn, twice.Travelled-once.Travelled)
	}
	p.press("d")
	if status, out := wait(); status != 0 || strings.Count(out, "pen up in") != 2 || !strings.Contains(out, "drawn in") {
		t.Fatalf("status %d, %q, shown %q", status, out, p.shown())
	}
	asPrepared(t, dir, server)

	again := newPerson(t)
	wait = again.run(dir, "send", "job", "--port", server.Path)
	again.await("drawn twice")
	if status, _ := wait(); status != 0 || strings.Contains(again.shown(), "q leave: ") {
		t.Errorf("sent again: status %d, shown %q", status, again.shown())
	}
}

func TestOfferDeclined(t *testing.T) {
	t.Parallel()
	dir, server, p := combJob(t, benchFile), plotter(t, pace), newPerson(t)
	wait := p.run(dir, "send", "job", "--port", server.Path)
	p.await("q leave: ")
	p.press("q")
	if status, _ := wait(); status != statusStopped {
		t.Errorf("status %d", status)
	}
	p.await("before anything was drawn")
	if c := server.Cloth(); c.Drawn > 0 || c.Travelled > 0 {
		t.Error("it moved")
	}
	if _, err := os.Stat(filepath.Join(dir, "job", "plot.gcode.journal")); err == nil {
		t.Error("it left a journal of nothing")
	}
	// Ctrl-C at the question is an answer too.
	p = newPerson(t)
	cmd := p.start(dir, "send", "job", "--port", server.Path)
	p.await("q leave: ")
	p.press("\x03")
	cmd.Wait()
	if status := cmd.ProcessState.ExitCode(); status != statusStopped {
		t.Errorf("interrupted: status %d", status)
	}
}

// Without a terminal nobody is asked.
func TestNoOfferWithoutTerminal(t *testing.T) {
	t.Parallel()
	dir, server := combJob(t, benchFile), plotter(t, pace)
	status, _, errs := weftplot(t, dir, "send", "job", "--port", server.Path)
	if status != 0 || strings.Contains(errs, "q leave") || strings.Contains(errs, "keys:") {
		t.Errorf("status %d, %q", status, errs)
	}
	if !strings.Contains(errs, "hands, hair") {
		t.Errorf("the cautions are missing: %q", errs)
	}
	asPrepared(t, dir, server)
}

// A job of two pens asks for the second between its programs. It can be left
// there, and gone on with.
func TestChangeOfPens(t *testing.T) {
	t.Parallel()
	dir, server, p := t.TempDir(), plotter(t, pace), newPerson(t)
	if err := os.WriteFile(filepath.Join(dir, "comb.svg"), []byte(comb), 0o666); err != nil {
		t.Fatal(err)
	}
	benchProfile(t, dir)
	if status, _, errs := weftplot(t, dir, "prepare", "comb.svg", "--machine", benchFile, "--border", "edge", "--pen-for", "border=soft-pencil", "--out", "job"); status != 0 {
		t.Fatal(errs)
	}
	wait := p.run(dir, "send", "job", "--port", server.Path, "--yes")
	p.await("put in the pen fine-marker, then press Enter; s stops the job: ")
	if n := len(server.Cloth().Strokes()); n != 1 {
		t.Errorf("%d strokes of the border are drawn", n)
	}
	p.press("s")
	if status, _ := wait(); status != statusStopped {
		t.Errorf("stopped: status %d, shown %q", status, p.shown())
	}
	p = newPerson(t)
	wait = p.run(dir, "send", "job", "--port", server.Path, "--resume")
	p.await("is drawn already")
	p.await("press Enter")
	p.press("\r")
	if status, _ := wait(); status != 0 {
		t.Fatalf("gone on with: status %d, shown %q", status, p.shown())
	}
	m := machineNamed(t, "practice")
	want := 0.0
	programs, _, err := jobfolder.Place(dir).ReadFolder(context.Background(), "job", jobfolder.Wanted{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range programs {
		want += program.Total(l.Program).DrawMM
	}
	if got := server.Cloth().Drawn; got < want-0.1 || got > want+0.1 {
		t.Errorf("%.1f mm are drawn on %s, not %.1f", got, m.Name, want)
	}
}
