package bench

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/link"
	"weftplot/device"
)

// contents returns the files of a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		out[e.Name()] = string(data)
	}
	return out
}

// halfDrawn leaves a job whose cloth is half drawn, and whose settings were
// changed behind the page's back.
func halfDrawn(t *testing.T) (dir, file string) {
	t.Helper()
	b, _, _ := attacked(t)
	if err := b.openFile(theMat(t)); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.job.whole })
	if err := b.start(doDraw, link.SimPort, part{}); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, b, func() bool { return b.run.proved > 1 })
	b.press(device.Stop)
	waitUntil(t, b, func() bool { return b.run == nil })
	dir = b.job.dir
	b.work.Wait()
	file = filepath.Join(dir, jobFile)
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	data = append([]byte("border = '3'\n"), bytes.ReplaceAll(data, []byte("border"), []byte("# border"))...)
	if err := os.WriteFile(file, data, 0o666); err != nil {
		t.Fatal(err)
	}
	return dir, file
}

// TestAHalfDrawnJobKeepsItsProgram draws half of a job, changes its settings
// behind the page's back, so that its program would be another, and opens it
// again: nothing in the folder changes until a person says that the cloth is
// given up.
func TestAHalfDrawnJobKeepsItsProgram(t *testing.T) {
	t.Parallel()
	dir, file := halfDrawn(t)
	before := contents(t, dir)

	again, _, _ := attacked(t)
	if err := again.openFile(file); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, again, func() bool { return again.job.overtaken })
	again.work.Wait()
	if after := contents(t, dir); len(after) != len(before) {
		t.Errorf("%d files were there, now %d", len(before), len(after))
	} else {
		for name, was := range before {
			if after[name] != was {
				t.Errorf("%s was changed", name)
			}
		}
	}
	if s := again.last.trouble; s == nil || !strings.Contains(s.Do, "--resume") {
		t.Errorf("it does not say what to do: %+v", s)
	}
	if err := again.change(func(*task) error { return nil }); err == nil {
		t.Error("its settings can be changed")
	}
	if err := again.start(doDraw, link.SimPort, part{}); err == nil {
		t.Error("it can be drawn")
	}
	if err := again.newClothOn(); err != nil {
		t.Fatal(err)
	}
	waitUntil(t, again, func() bool { return again.job.whole })
	again.work.Wait()
	after := contents(t, dir)
	if after["plot.gcode"] == before["plot.gcode"] || after["plot.gcode.journal"] != "" || after["plot.gcode.1.journal"] != before["plot.gcode.journal"] {
		t.Error("after a new cloth the program is as it was, or the record of the old cloth is lost")
	}
	if err := again.change(func(j *task) error { return j.setWritten("border", "4") }); err != nil {
		t.Errorf("nothing can be changed after a new cloth was put on: %v", err)
	}
}
