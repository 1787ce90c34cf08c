package sending

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/device"
	"weftplot/device/journals"
	"weftplot/device/sim"
	"weftplot/paths"
	"weftplot/plot/jobfolder"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/plot/program/programtest"
	"weftplot/profiles"
)

// A job that was sent to its end, to a machine that answered for all of it and does
// not say where its pen went, did not break off: resumed, it says where to look and
// sends nothing.
func TestResumedAfterItsEnd(t *testing.T) {
	m, err := profiles.MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	m.Serial.Manner.Ask = ""
	line := paths.Polyline(paths.Point{X: 20, Y: 20}, paths.Point{X: 300, Y: 20})
	p, text, err := language.Rewrite(program.Program{Language: string(m.Language), Machine: m.Name, Blocks: programtest.Blocks(40, line)}, m)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	prog := Program{Program: jobfolder.Program{File: "plot.gcode", Program: p, Text: text}}
	if err := os.WriteFile(filepath.Join(dir, prog.File), text, 0o666); err != nil {
		t.Fatal(err)
	}
	var said strings.Builder
	s := terminal.Streams{Dir: dir, Err: &said}
	j, err := device.StartJournal(journals.Path(s.Path(prog.File)), prog.OnMachine(m))
	if err != nil {
		t.Fatal(err)
	}
	out, err := device.Send(context.Background(), sim.NewLine(sim.New(m), m.Serial), prog.OnMachine(m), device.Options{Journal: j})
	j.Close()
	if err != nil || out.Proof != device.ByClock {
		t.Fatalf("%+v, %v", out, err)
	}
	var opt device.Options
	done, err := (keeper{resume: true, kept: true}).open(s, true, prog, m, &opt)
	if err != nil || !done || opt.Journal != nil || !strings.Contains(said.String(), "look at the cloth") {
		t.Errorf("done %v, %v: %q", done, err, said.String())
	}
}
