//go:build unix

package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestTheSimulatedPlotterIsResumed kills a job on the simulated plotter in the
// middle, as a power cut would. Its cloth and its journal lie beside the program,
// so that it is not begun anew by mistake, and goes on where it broke off.
func TestTheSimulatedPlotterIsResumed(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	must(t, os.WriteFile(filepath.Join(dir, "comb.svg"), []byte(comb), 0o666))
	ctx := context.Background()
	if status, _, errs := command(ctx, dir, "prepare", "comb.svg", "--out", "job"); status != 0 {
		t.Fatal(errs)
	}
	program := filepath.Join(dir, "job", "plot.gcode")
	cmd := exec.Command("weftplot", "send", "job", "--port", "sim", "--journal", "--sim-speed", "20")
	cmd.Dir = dir
	must(t, cmd.Start())
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	waitFor(t, 30*time.Second, func() bool {
		data, _ := os.ReadFile(program + ".journal")
		return bytes.Count(data, []byte("drawn ")) > 3
	})
	must(t, cmd.Process.Kill())
	cmd.Wait()
	if status, _, errs := command(ctx, dir, "send", "job", "--port", "sim", "--journal"); status != statusBad || !strings.Contains(errs, "broke off") {
		t.Errorf("begun anew: status %d, %s", status, errs)
	}
	if status, _, errs := command(ctx, dir, "send", "job", "--port", "sim", "--resume"); status != statusBad || !strings.Contains(errs, "--journal") {
		t.Errorf("resumed on new cloth: status %d, %s", status, errs)
	}
	status, out, errs := command(ctx, dir, "send", "job", "--port", "sim", "--journal", "--resume", "--sim-speed", "200")
	if status != 0 || !strings.Contains(out, "all 11 lines lie as asked") {
		t.Fatalf("resumed: status %d, %s%s", status, out, errs)
	}
	if data, _ := os.ReadFile(program + ".journal"); !bytes.Contains(data, []byte("left done")) {
		t.Errorf("the journal does not say that all is drawn:\n%s", data)
	}
	// Without the cloth that the first lines are on, the job is not whole.
	must(t, os.WriteFile(program+".journal", firstLines(t, program+".journal", 6), 0o666))
	must(t, os.Remove(program+".cloth"))
	if status, out, _ := command(ctx, dir, "send", "job", "--port", "sim", "--journal", "--resume", "--sim-speed", "200"); status == 0 {
		t.Errorf("a cloth with half of the lines is as asked: %s", out)
	}
	if status, out, errs := command(ctx, dir, "send", "job", "--port", "sim", "--journal", "--anew", "--sim-speed", "200"); status != 0 || !strings.Contains(out, "11 of 11 strokes as asked") {
		t.Errorf("drawn anew: status %d, %s%s", status, out, errs)
	}
}

// firstLines returns the beginning of a file.
func firstLines(t *testing.T, name string, n int) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	must(t, err)
	lines := bytes.SplitAfter(data, []byte("\n"))
	return bytes.Join(lines[:min(n, len(lines))], nil)
}
