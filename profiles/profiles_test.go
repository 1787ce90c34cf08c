package profiles

import (
	"errors"
	"io/fs"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

func TestBuiltinsAreValidAndNamedAsTheirFiles(t *testing.T) {
	n := 0
	for _, k := range Kinds {
		for _, name := range Names(k) {
			data, err := Source(k, name)
			if err != nil {
				t.Fatal(err)
			}
			kind, err := Check(name+".toml", data)
			if err != nil || kind != k {
				t.Errorf("Check(%s %s) = %v, %v", k, name, kind, err)
			}
			if !strings.Contains(string(data), "name = \""+name+"\"") {
				t.Errorf("%s %s carries another name than its file", k, name)
			}
			n++
		}
	}
	if n < 15 {
		t.Errorf("%d built-in profiles, want the six machines, four backings and five pens", n)
	}
	if err := fs.WalkDir(Builtin(), ".", func(string, fs.DirEntry, error) error { return nil }); err != nil {
		t.Error(err)
	}
}

func TestBuiltinMachineValues(t *testing.T) {
	m, err := MachineNamed("practice")
	if err != nil {
		t.Fatal(err)
	}
	if m.Area != [2]paths.Length{600, 900} || m.Speed.Draw != 40 || m.Language != GCode || m.Serial.Buffer != 127 {
		t.Errorf("practice = %+v", m)
	}
	f, err := MachineNamed("flatbed-hpgl")
	if err != nil {
		t.Fatal(err)
	}
	if r := f.Reach(); r.Min.X != -420 || r.Max.Y != 590 {
		t.Errorf("a machine that counts from its centre reaches %v", r)
	}
}

// Typical counts, as sellers of rug backing state them (12 x 13 double threads an inch
// for rug monk's cloth; 12 x 12 for rug linen): common practice, to be counted on the
// cloth itself.
func TestBuiltinBackingCounts(t *testing.T) {
	for name, want := range map[string]string{"monks-cloth": "12x13/in", "rug-linen": "12x12/in"} {
		b, err := BackingNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Count.String(); got != want {
			t.Errorf("%s is counted %s, want %s", name, got, want)
		}
	}
}

func TestFaults(t *testing.T) {
	good, err := Source(MachineKind, "practice")
	if err != nil {
		t.Fatal(err)
	}
	edit := func(old, new string) string {
		s := strings.Replace(string(good), old, new, 1)
		if s == string(good) {
			t.Fatalf("%q does not stand in the profile", old)
		}
		return s
	}
	for _, c := range []struct{ name, text, want string }{
		{"wrong key", edit("travel =", "traval ="), `line 10: there is no key "speed.traval"`},
		{"bare length", edit(`"600mm"`, `"600"`), `has no unit`},
		{"bare number", edit(`draw = "40mm/s"`, `draw = 40`), `speed.draw: the number 40 has no unit`},
		{"bare numbers", edit(`"600mm", "900mm"`, `"600mm", 900`), `area: the number 900 has no unit`},
		{"bare time", edit(`up_time = "0.2s"`, `up_time = 0.2`), `lift.up_time: the number 0.2 has no unit`},
		{"not a speed", edit(`"40mm/s"`, `"40"`), `"40" is not a speed`},
		{"unknown language", edit(`"gcode"`, `"runes"`), `language: "runes" is not allowed`},
		{"unknown flow", edit(`"line-ack"`, `"line"`), `serial.flow`},
		{"no lift", edit(`up = ["G0 Z5"]`, `up = []`), `lift.up`},
		{"zero speed", edit(`draw = "40mm/s"`, `draw = "0mm/s"`), `speed.draw: 0mm/s is not allowed`},
		{"park outside", edit(`park = ["0mm"`, `park = ["-1mm"`), `park`},
		{"not TOML", "name = = 3", "line 1"},
		{"no profile", `colour = "#000000"`, "no profile"},
		{"number for a string", edit(`name = "practice"`, `name = 3`), "line 1"},
		{"wild scale", edit(`scale = [1.0, 1.0]`, `scale = [1.0, nan]`), "calibration.scale"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Check("mine.toml", []byte(c.text))
			var f *fault.Error
			if !errors.As(err, &f) || f.Kind != fault.Input {
				t.Fatalf("Check = %v, want a fault", err)
			}
			if !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "mine.toml") {
				t.Errorf("Check = %q, want it to name the file and say %q", err, c.want)
			}
		})
	}
	if _, err := MachineNamed("nobody"); err == nil || !strings.Contains(err.(*fault.Error).Do, "gantry-z") {
		t.Errorf("an unknown machine: %v", err)
	}
}
