package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/sending"
	"weftplot/device"
	"weftplot/device/sim"
	"weftplot/plot/jobfolder"
	"weftplot/plot/report"
	"weftplot/profiles"
)

var everyDesign = flag.Bool("everydesign", false, "judge every design, and foretell its time on every machine, and not a few")

// The time that the report foretells is what the simulated plotter takes, which
// plans its motion by itself, over a line that carries bytes at its baud rate.
func TestForetoldTime(t *testing.T) {
	designs, err := filepath.Glob("../../testdata/designs/*.*")
	if err != nil || len(designs) < 10 {
		t.Fatalf("%d designs: %v", len(designs), err)
	}
	table := []string{fmt.Sprintf("%-24s %-14s %9s %9s %8s %8s", "design", "machine", "foretold", "took", "off by", "strokes")}
	worst := 0.0
	for i, design := range designs {
		for k, machine := range profiles.Names(profiles.MachineKind) {
			if !*everyDesign && (i+k)%11 != 0 { // another few on each machine
				continue
			}
			r, took, ok := foretold(t, design, machine)
			if !ok {
				table = append(table, fmt.Sprintf("%-24s %-14s does not fit", filepath.Base(design), machine))
				continue
			}
			off := (took - r.TimeS) / r.TimeS
			worst = max(worst, math.Abs(off))
			table = append(table, fmt.Sprintf("%-24s %-14s %9.1f %9.1f %7.2f%% %8d", filepath.Base(design), machine, r.TimeS, took, 100*off, r.Strokes))
			slack := 0.01
			if isPlotter(t, machine) {
				slack = 0.03 // it stands for a moment at each question
			}
			if math.Abs(off) > slack {
				t.Errorf("%s on %s took %.1f s, %.1f s were foretold", design, machine, took, r.TimeS)
			}
		}
	}
	t.Logf("off by %.2f %% at most\n%s", 100*worst, strings.Join(table, "\n"))
}

// isPlotter reports whether a machine is asked where it is along with its program,
// and stands for a moment each time.
func isPlotter(t *testing.T, machine string) bool {
	m, err := profiles.MachineNamed(machine)
	if err != nil {
		t.Fatal(err)
	}
	return m.Language != profiles.GCode
}

// foretold prepares a design for a machine, as large as it is or else small, and
// sends it in simulated time.
func foretold(t *testing.T, design, machine string) (r report.Report, took float64, ok bool) {
	t.Helper()
	dir := t.TempDir()
	name, err := filepath.Abs(design)
	if err != nil {
		t.Fatal(err)
	}
	args := []string{"prepare", name, "--machine", machine, "--effort", "quick", "--really", "--out", "job", "--quiet"}
	status, _, _ := command(context.Background(), dir, args...)
	if status != statusDone {
		if status, _, _ = command(context.Background(), dir, append(args, "--width", "7in")...); status != statusDone {
			return r, 0, false
		}
	}
	data, err := os.ReadFile(filepath.Join(dir, "job", "report.json"))
	if err == nil {
		err = json.Unmarshal(data, &r)
	}
	if err != nil {
		t.Fatal(err)
	}
	programs, m, err := jobfolder.Place(dir).ReadFolder(context.Background(), "job", jobfolder.Wanted{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range programs {
		p := sim.New(m)
		out, err := device.Send(context.Background(), sim.NewLine(p, m.Serial), sending.Program{Program: l}.OnMachine(m), device.Options{})
		if err != nil {
			t.Fatalf("%s on %s: %v", design, machine, err)
		}
		c := p.Cloth()
		starved := c.Underruns > 0
		if isPlotter(t, machine) {
			starved = c.RestMax > 0.1
		}
		if starved || c.Overruns > 0 || len(c.Errors) > 0 {
			t.Errorf("%s on %s: %d underruns, %d overruns, errors %q", design, machine, c.Underruns, c.Overruns, c.Errors)
		}
		took += out.Seconds
	}
	return r, took, true
}

// While a plotter draws whose language has no room for remarks, it is said from
// the job folder which layer it is at.
func TestLayersOnTheWay(t *testing.T) {
	const rings = `<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="60mm" viewBox="0 0 80 60" fill="none" stroke="black">
<g id="sea"><path d="M10 10H70"/><path d="M10 14H70"/></g><g id="light"><circle cx="40" cy="35" r="15"/></g></svg>`
	for _, machine := range []string{"practice", "flatbed-hpgl", "flatbed-hpgl2"} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "rings.svg"), []byte(rings), 0o666); err != nil {
			t.Fatal(err)
		}
		if status, _, errs := command(context.Background(), dir, "prepare", "rings.svg", "--machine", machine, "--border", "edge", "--out", "job"); status != statusDone {
			t.Fatal(errs)
		}
		programs, m, err := jobfolder.Place(dir).ReadFolder(context.Background(), "job", jobfolder.Wanted{})
		if err != nil {
			t.Fatal(err)
		}
		var seen []string
		opt := device.Options{Progress: func(p device.Progress) {
			if p.Stroke > 0 && p.State == device.Drawing && (len(seen) == 0 || seen[len(seen)-1] != p.Layer) {
				seen = append(seen, p.Layer)
			}
		}}
		if _, err := device.Send(context.Background(), sim.NewLine(sim.New(m), m.Serial), sending.Program{Program: programs[0]}.OnMachine(m), opt); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(seen, ", "); len(seen) != 3 || seen[0] != "layer border" || !strings.Contains(got, "layer sea") || !strings.Contains(got, "layer light") {
			t.Errorf("%s was seen to draw %q", machine, got)
		}
	}
}
