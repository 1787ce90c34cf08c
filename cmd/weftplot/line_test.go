//go:build unix

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"weftplot/device/sim"
	"weftplot/device/sim/live"
	"weftplot/plot/language"
)

// plotter is a simulated plotter on a pseudo-terminal, as any port, and command
// runs a command line in the folder dir.
func plotter(t *testing.T, factor float64) *live.Server { return plotterOf(t, "practice", factor) }

func plotterOf(t *testing.T, machine string, factor float64) *live.Server {
	t.Helper()
	server := live.Serve(machineNamed(t, machine), factor)
	t.Cleanup(func() { server.Close() })
	if server.Path == "" {
		t.Skip("there is no pseudo-terminal here")
	}
	return server
}

const comb = `<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100" fill="none" stroke="black">
<path d="M0 0V100 M20 0V100 M40 0V100 M60 0V100 M80 0V100 M100 0V100 M120 0V100 M140 0V100 M160 0V100 M180 0V100 M200 0V100"/></svg>`

// A job that is stopped in the middle leaves the pen up, is not begun anew by
// mistake, and goes on where it broke off.
func TestSendStopsAndResumes(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "comb.svg"), []byte(comb), 0o666); err != nil {
		t.Fatal(err)
	}
	benchProfile(t, dir)
	ctx := context.Background()
	if status, _, errs := command(ctx, dir, "prepare", "comb.svg", "--machine", benchFile, "--out", "job"); status != 0 {
		t.Fatal(errs)
	}
	server := plotter(t, 20)
	stopped, cancel := context.WithCancel(ctx)
	go func() {
		for len(server.Cloth().Strokes()) < 4 {
			time.Sleep(5 * time.Millisecond)
		}
		cancel()
	}()
	status, _, errs := command(stopped, dir, "send", "job", "--port", server.Path)
	if status != statusStopped {
		t.Fatalf("stopped in the middle: status %d, %s", status, errs)
	}
	if c := server.Cloth(); c.Down {
		t.Error("the pen was left down")
	}
	if !strings.Contains(errs, "pen") {
		t.Errorf("it does not say how the machine was left: %q", errs)
	}
	if status, _, errs := command(ctx, dir, "send", "job", "--port", server.Path); status != statusBad || !strings.Contains(errs, "broke off") {
		t.Errorf("begun anew: status %d, %s", status, errs)
	}
	if status, _, errs := command(ctx, dir, "send", "job", "--port", server.Path, "--resume"); status != 0 {
		t.Fatalf("resumed: status %d, %s", status, errs)
	}
	text, err := os.ReadFile(filepath.Join(dir, "job", "plot.gcode"))
	if err != nil {
		t.Fatal(err)
	}
	p, err := language.ReadAny(context.Background(), "plot.gcode", text, nil)
	if err != nil {
		t.Fatal(err)
	}
	if rep := sim.Compare(p.Strokes(), server.Cloth().Strokes(), 0.05); len(rep.Missing) > 0 {
		t.Errorf("strokes %v are missing on the cloth", rep.Missing)
	}
	if status, _, errs := command(ctx, dir, "send", "job", "--port", server.Path, "--resume"); status != 0 || !strings.Contains(errs, "drawn already") {
		t.Errorf("resumed when done: status %d, %s", status, errs)
	}
	// The folder is still a job folder with the journal in it.
	if status, _, errs := command(ctx, dir, "prepare", "job/job.toml"); status != 0 {
		t.Errorf("prepared again: %s", errs)
	}
}
