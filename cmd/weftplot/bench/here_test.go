package bench

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/profiles"
)

// TestMachineOfThisComputer begins a job with the machine that is kept on this computer,
// also where its profile has the name of a built-in one and where another machine was
// chosen last; the choice on the page wins.
func TestMachineOfThisComputer(t *testing.T) {
	t.Parallel()
	b, _, _ := attacked(t)
	text, err := profiles.Source(profiles.MachineKind, "gantry-z")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "bench.toml")
	text = bytes.Replace(text, []byte(`area = ["600mm", "900mm"]`), []byte(`area = ["611mm", "900mm"]`), 1)
	if err := os.WriteFile(file, text, 0o666); err != nil {
		t.Fatal(err)
	}
	if b.here, err = machineHere(file); err != nil {
		t.Fatal(err)
	}
	b.memory.Choose(profiles.MachineKind, "gantry-servo")
	if err := b.openFile("../demo/lighthouse-mat.svg"); err != nil {
		t.Fatal(err)
	}
	if m := b.job.sketch.Inputs.Machine; m.Name != "gantry-z" || m.Area[0] != 611 {
		t.Errorf("the job begins with %s of %v", m.Name, m.Area)
	}
	same := func(m told.Option) bool { return m.Name == "gantry-z" }
	list := b.offered().Machines
	if i := slices.IndexFunc(list, same); i < 0 || list[i].About != "the machine of this computer" || slices.ContainsFunc(list[i+1:], same) {
		t.Errorf("offered are %v", list)
	}
	if err := b.change(func(j *task) error { return b.apply(j, patch{"machine": "gantry-servo"}) }); err != nil || b.job.sketch.Inputs.Machine.Name != "gantry-servo" {
		t.Errorf("%v: the machine is %s", err, b.job.sketch.Inputs.Machine.Name)
	}
	if _, err := machineHere(filepath.Join(t.TempDir(), "gone.toml")); err == nil {
		t.Error("a file that is not there is taken")
	}
	if own, err := machineHere("flatbed-hpgl"); err != nil || own.name != "flatbed-hpgl" {
		t.Errorf("%+v, %v", own, err)
	}
}
