package profiles

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// with returns a built-in profile with lines put after the one that opens with
// before, or at its end.
func with(t *testing.T, k Kind, name, before, lines string) []byte {
	t.Helper()
	data, err := Source(k, name)
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	if before == "" {
		return []byte(text + lines + "\n")
	}
	out := strings.Replace(text, before, before+"\n"+lines, 1)
	if out == text {
		t.Fatalf("%q does not stand in %s", before, name)
	}
	return []byte(out)
}

func TestPlotterKeys(t *testing.T) {
	for _, c := range []struct{ machine, lines, want string }{
		{"flatbed-hpgl", "bits = 7", ""},
		{"flatbed-hpgl", "swap = true", ""},
		{"flatbed-hpgl", "force = 1", ""},
		{"flatbed-hpgl", "force = 1000", ""},
		{"flatbed-hpgl", "bits = 6", "hpgl.bits: 6 is not allowed"},
		{"flatbed-hpgl", "bits = 9", "hpgl.bits: 9 is not allowed"},
		{"flatbed-hpgl", "bits = 7.5", "line 25"},
		{"flatbed-hpgl", "swap = 1", "line 25"},
		{"flatbed-hpgl", "swap = \"yes\"", "line 25"},
		{"flatbed-hpgl", "force = -1", "hpgl.force: -1 is not allowed"},
		{"flatbed-hpgl", "force = 1001", "hpgl.force: 1001 is not allowed"},
		{"flatbed-hpgl", "force = \"80g\"", "line 25"},
		{"flatbed-hpgl", "forse = 1", `no key "hpgl.forse"`},
		{"practice", "[hpgl]\nswap = true", "hpgl.swap"},
		{"practice", "[hpgl]\nforce = 2", "hpgl.force"},
	} {
		before := `unit = "0.025mm"`
		if c.machine == "practice" {
			before = ""
		}
		_, err := ParseMachine("mine.toml", with(t, MachineKind, c.machine, before, c.lines))
		wantFault(t, c.machine+": "+c.lines, err, c.want)
	}
	for lines, want := range map[string]string{
		`wipe_at = ["10mm", "20mm"]`:        "",
		`wipe_at = []`:                      "",
		`wipe_at = ["10mm"]`:                "wipe_at",
		`wipe_at = ["1mm", "1mm", "1mm"]`:   "wipe_at",
		`wipe_at = ["-1mm", "20mm"]`:        "wipe_at",
		`wipe_at = ["10mm", "901mm"]`:       "wipe_at",
		`wipe_at = [10, 20]`:                "has no unit",
		`wipe_at = "10mm"`:                  "line ",
		`wipe_at = ["10mm", "20 furlongs"]`: "line ",
	} {
		_, err := ParseMachine("mine.toml", with(t, MachineKind, "practice", `origin = "lower-left"`, lines))
		wantFault(t, lines, err, want)
	}
}

func TestAxisSpeeds(t *testing.T) {
	for lines, want := range map[string]string{
		`axes = ["100mm/s", "80mm/s"]`:       "",
		`axes = []`:                          "",
		`axes = ["100mm/s"]`:                 "speed.axes: a row of 1",
		`axes = ["1mm/s", "1mm/s", "1mm/s"]`: "speed.axes: a row of 3",
		`axes = ["100mm/s", "0mm/s"]`:        "speed.axes: 0mm/s",
		`axes = ["100mm/s", "6000mm/s"]`:     "speed.axes: 6000mm/s",
		`axes = [100, 80]`:                   "has no unit",
		`axes = "100mm/s"`:                   "line ",
		`axes = ["100mm/s", "fast"]`:         "line ",
	} {
		_, err := ParseMachine("mine.toml", with(t, MachineKind, "practice", `draw = "40mm/s"`, lines))
		wantFault(t, lines, err, want)
	}
}

func TestPenKeys(t *testing.T) {
	for _, c := range []struct{ pen, lines, want string }{
		{"fine-marker", `force = 3`, ""},
		{"fine-marker", `wipe_every = "2.5m"`, ""},
		{"fine-marker", `wipe_every = "0mm"`, ""},
		{"fine-marker", `force = -1`, "force: -1"},
		{"fine-marker", `force = 1001`, "force: 1001"},
		{"fine-marker", `wipe_every = "5cm"`, "wipe_every: 50mm"},
		{"fine-marker", `wipe_every = "-1m"`, "wipe_every: -1000mm"},
		{"fine-marker", `wipe_every = "2km"`, "line "},
		{"fine-marker", `wipe_every = 3`, "has no unit"},
		{"fine-marker", `passes = 1`, ""},
		{"fine-marker", `passes = 2`, "passes: 2"},
		{"fine-marker", `run_in = "5mm"`, "run_in: 5mm"},
		{"drag-knife", `passes = 3`, ""},
		{"drag-knife", `run_in = "5mm"`, ""},
		{"drag-knife", `run_in = "0mm"`, ""},
		{"drag-knife", `passes = -1`, "passes: -1"},
		{"drag-knife", `passes = 21`, "passes: 21"},
		{"drag-knife", `passes = 1.5`, "line "},
		{"drag-knife", `run_in = "2mm"`, "run_in: 2mm"}, // under ten offsets of 0.25 mm
		{"drag-knife", `run_in = "201mm"`, "run_in: 201mm"},
		{"drag-knife", `wipe_every = "1m"`, "wipe_every"},
	} {
		_, err := ParsePen("mine.toml", with(t, PenKind, c.pen, "permanent = true", c.lines))
		wantFault(t, c.pen+": "+c.lines, err, c.want)
	}
}

// wantFault checks that err is a fault that names the file and says want, or is
// nil when want is "".
func wantFault(t *testing.T, what string, err error, want string) {
	t.Helper()
	if want == "" {
		if err != nil {
			t.Errorf("%s: %v", what, err)
		}
		return
	}
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.Input || !strings.HasPrefix(err.Error(), "mine.toml") || !strings.Contains(err.Error(), want) {
		t.Errorf("%s gives %v, want a fault of the file that says %q", what, err, want)
	}
}

// TestUnits: 0.025 mm a unit is 40 a mm (HP 7470A Interfacing and Programming
// Manual, B-6: OF always replies 40,40). The rest by hand.
func TestUnits(t *testing.T) {
	m, err := MachineNamed("flatbed-hpgl")
	if err != nil {
		t.Fatal(err)
	}
	at := paths.Point{X: 10, Y: -3}
	for _, c := range []struct {
		swap  bool
		scale [2]float64
		want  string
	}{
		{false, [2]float64{1, 1}, "400 -120"},
		{true, [2]float64{1, 1}, "-120 400"},
		{false, [2]float64{1.25, 1}, "320 -120"}, // it draws too long across, so less is asked for
		{true, [2]float64{1.25, 1}, "-120 320"},  // the same on its own y
	} {
		m.HPGL.Swap, m.Calib.Scale = c.swap, c.scale
		got := m.Units().Apply(at)
		if s := fmt.Sprintf("%.6g %.6g", got.X, got.Y); s != c.want {
			t.Errorf("swap %v, scale %v: %v are the units %s, want %s", c.swap, c.scale, at, s, c.want)
		}
	}
}
