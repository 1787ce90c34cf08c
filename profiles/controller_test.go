package profiles

import (
	"io/fs"
	"testing"
)

// TestCompact: arcs by their radius make a compact program, and arcs by their centre do
// not, where a profile does not say.
func TestCompact(t *testing.T) {
	practice, err := fs.ReadFile(Builtin(), "machines/practice.toml")
	if err != nil {
		t.Fatal(err)
	}
	for said, want := range map[string]bool{
		``:                                    false,
		`arcs = "centre"`:                     false,
		`arcs = "radius"`:                     true,
		`compact = true`:                      true,
		"arcs = \"radius\"\ncompact = false":  false,
		"compact = true\narcs = \"radius\"":   true,
		"arcs = \"centre\"\ncompact = true":   true,
		"waits = \"seconds\"\ncompact = true": true,
	} {
		m, err := ParseMachine("m.toml", append(practice[:len(practice):len(practice)], "\n[gcode]\n"+said+"\n"...))
		if err != nil || m.GCode.Compact != want {
			t.Errorf("with %q a program is compact: %v, want %v (%v)", said, m.GCode.Compact, want, err)
		}
	}
}
