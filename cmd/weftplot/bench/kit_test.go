package bench

import (
	"bytes"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/link"
	"weftplot/plot/job"
	"weftplot/plot/jobfolder"
)

const plainMat = `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200" fill="none" stroke="black"><path d="M0 0h300v200h-300z"/><path d="M30 30l200 100"/></svg>`

// withKit is a bench with three named copies of a mat on one cloth, in two loads.
func withKit(t *testing.T) *bench {
	t.Helper()
	b := withDrawing(t, "mat.svg", plainMat)
	p := patch{"width": "15in", "names": "Ada\nBryn, 170\nCleo", "cloth": "26in"}
	for _, key := range []string{"width", "names", "cloth"} {
		if err := b.change(func(j *task) error { return b.apply(j, patch{key: p[key]}) }); err != nil {
			t.Fatal(err)
		}
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	b.work.Wait()
	return b
}

// drawKit draws a part and waits until the machine rests.
func drawKit(t *testing.T, b *bench, do string, of part) {
	t.Helper()
	if err := b.start(do, link.SimPort, of); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.run == nil })
}

// TestKitOnThePage lays out a kit, draws its loads one after the other and a copy again,
// and is told at each time what is drawn and what is due.
func TestKitOnThePage(t *testing.T) {
	t.Parallel()
	b := withKit(t)
	k := b.job.shown().Kit
	if k == nil || len(k.Copies) != 3 || len(k.Loads) != 2 || k.Due != 1 {
		t.Fatalf("the page is told %+v", k)
	}
	if c := k.Copies[1]; c.Name != "Bryn" || c.State != told.Due {
		t.Errorf("copy 2 is %+v", c)
	}
	for _, l := range k.Loads {
		if l.Box[0] >= l.Box[2] || !strings.Contains(l.Lay, "lower left corner of copy") {
			t.Errorf("load %+v", l)
		}
	}
	if v := b.job.shown().Settings; v["names"] != "Ada\nBryn, 170\nCleo\n" || v["cloth"] != "26in" || v["width"] != "15in" {
		t.Errorf("the fields hold %q", v)
	}
	states := func() (out []string) {
		for _, c := range b.job.shown().Kit.Copies {
			out = append(out, c.State)
		}
		return out
	}
	drawKit(t, b, doDraw, part{})
	if b.last.word != wordReady || !strings.Contains(b.last.text, "Load 1 of 2 is drawn") || !strings.Contains(b.last.text, "Next is load 2: lay ") {
		t.Errorf("after load 1: %s %q", b.last.word, b.last.text)
	}
	if k := b.job.shown().Kit; k.Due != 2 || k.Loads[0].State != told.Drawn || k.Loads[1].State != told.Due {
		t.Errorf("after load 1: %+v, %v", k.Loads, states())
	}
	// The rest of the cloth is for the settings as they are.
	if err := b.change(func(j *task) error { return b.apply(j, patch{"width": "14in"}) }); err == nil {
		t.Error("the settings of a cloth that is half drawn are changed")
	}
	drawKit(t, b, doDraw, part{})
	if b.last.word != wordDrawn || !slices.Equal(states(), []string{told.Drawn, told.Drawn, told.Drawn}) || b.job.shown().Kit.Due != 0 {
		t.Errorf("after load 2: %s %q, %v", b.last.word, b.last.text, states())
	}
	if err := b.start(doDraw, link.SimPort, part{}); err == nil || !strings.Contains(err.Error(), "all loads") {
		t.Errorf("drawn once more: %v", err)
	}
	drawKit(t, b, doDraw, part{Copies: "2"})
	if found, _ := filepath.Glob(filepath.Join(b.job.dir, "load-*", "plot-copy-2.gcode"+jobfolder.JournalExt)); len(found) != 1 {
		t.Errorf("copy 2 was drawn as %v: %s %q", found, b.last.word, b.last.text)
	}
	for of, want := range map[part]string{{Copies: "9"}: "no copy 9", {Copies: "x"}: "names no copies", {Load: 7}: "no load 7"} {
		if err := b.start(doDraw, link.SimPort, of); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", of, err)
		}
	}
	if err := b.newClothOn(); err != nil {
		t.Fatal(err)
	}
	if k := b.job.shown().Kit; k.Due != 1 || k.Loads[0].State != told.Due {
		t.Errorf("on new cloth: %+v", k.Loads)
	}
}

// TestKitStopped stops a load, which can be resumed and not be drawn anew.
func TestKitStopped(t *testing.T) {
	t.Parallel()
	b := withKit(t)
	b.simSpeed = 20
	if err := b.start(doDraw, link.SimPort, part{}); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.run != nil && b.run.proved > 0 })
	b.mu.Lock()
	b.run.cancel()
	b.mu.Unlock()
	waitUntil(t, b, func() bool { return b.run == nil })
	if k := b.job.shown().Kit; k.Due != 1 || k.Loads[0].State != told.HalfDrawn || !k.Loads[0].Begun.Half {
		t.Errorf("stopped: %+v", k.Loads)
	}
	if err := b.start(doDraw, link.SimPort, part{}); err == nil {
		t.Error("a half-drawn load is drawn anew")
	}
	b.simSpeed = 1000
	drawKit(t, b, doResume, part{})
	if k := b.job.shown().Kit; k.Due != 2 || k.Loads[0].State != told.Drawn {
		t.Errorf("resumed: %+v, %s %q", k.Loads, b.last.word, b.last.text)
	}
}

// TestKitSettings sets what is said of copies, takes it back, and is refused.
func TestKitSettings(t *testing.T) {
	t.Parallel()
	b := withKit(t)
	set := func(p patch) error { return b.change(func(j *task) error { return b.apply(j, p) }) }
	for _, p := range []patch{{"names": "a,b,c,d"}, {"copies": "none"}, {"cloth": "wide"}, {"cloth": "10in"}, {"gap": "-3in"}, {"turn": "perhaps"}, {"machine": job.NoMachine}} {
		was := b.job
		if err := set(p); err == nil || b.job != was {
			t.Errorf("%v is taken: %v", p, err)
		}
	}
	if err := set(patch{"copies": "2"}); err != nil || b.job.settings.Names != "" || len(b.job.shown().Kit.Copies) != 2 {
		t.Errorf("two copies: %v, %+v", err, b.job.settings)
	}
	if err := set(patch{"copies": ""}); err != nil {
		t.Fatal(err)
	}
	if s := b.job.settings; s.IsKit() || s.Cloth != "" || b.job.shown().Kit != nil {
		t.Errorf("a single rug again: %+v", s)
	}
}

// TestKitFoundOnThePage finds the cloth of load 2 of a kit by counted crossings of channels,
// while load 1 is drawn already, and draws it where it was found.
func TestKitFoundOnThePage(t *testing.T) {
	t.Parallel()
	b := withKit(t)
	drawKit(t, b, doDraw, part{})
	text := b.job.made.Loads[0].PenRuns[0].Text
	at := b.job.made.Loads[1].At
	if err := b.beginSteering(link.SimPort, 2); err != nil {
		t.Fatal(err)
	}
	for n := range 4 {
		// The cloth lies 3 mm to the right of where it should.
		for _, o := range []steering{{Do: "next"}, {Do: "step", X: 3}} {
			if err := b.steerBy(o); err != nil {
				t.Fatal(err)
			}
			if n > 0 {
				break // by the mark before
			}
		}
		p := b.steer.load.at
		if p == nil {
			t.Fatal("it is not known where the pen was sent")
		}
		if origin := b.job.made.Loads[1].Origin; n == 0 && *p != origin {
			t.Errorf("the first mark is sought at %v, and the load begins at %v", *p, origin)
		}
		if err := b.steerBy(steering{Do: "mark", Across: p.Across, Along: p.Along}); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.leaveSteering(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	if l := b.job.shown().Kit.Loads[1]; !l.Found || !strings.Contains(l.Fit, "4 marks; error to expect: ") {
		t.Errorf("with marks: %+v", l)
	}
	if !bytes.Equal(b.job.made.Loads[0].PenRuns[0].Text, text) {
		t.Error("the program of load 1 has changed")
	}
	if d := b.job.made.Loads[1].At.Sub(at); math.Abs(d.X-3) > 0.05 || math.Abs(d.Y) > 0.05 {
		t.Errorf("the cloth lies 3 mm to the right, and the load is moved by %v", d)
	}
	drawKit(t, b, doDraw, part{})
	if k := b.job.shown().Kit; k.Due != 0 || b.last.word != wordDrawn {
		t.Errorf("after load 2: %+v, %s %q", k.Loads, b.last.word, b.last.text)
	}
	if err := b.newClothOn(); err != nil {
		t.Fatal(err)
	}
	settle(t, b)
	if k := b.job.shown().Kit; k.Loads[1].Found {
		t.Errorf("new cloth is found by the marks of the old one: %+v", k.Loads)
	}
}
