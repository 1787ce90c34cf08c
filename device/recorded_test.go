package device

import (
	"os"
	"path/filepath"
	"testing"
)

// The records are written here as the form in the documentation of [Journal] has
// them, and not by the writer.
func TestRecorded(t *testing.T) {
	const head = "weftplot-journal 3 program=ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad machine=practice 1 abc marks="
	text := []byte("abc") // the SHA-256 of "abc" is the first example of FIPS 180-2, appendix B.1
	for _, c := range []struct {
		name       string
		records    []string
		text       []byte
		ours, done bool
	}{
		{"broken off", []string{head, "drawn 3"}, text, true, false},
		{"left safe", []string{head, "drawn 3", "left safe 1.000 2.000 4"}, text, true, false},
		{"done", []string{head, "drawn 3", "left done 1.000 2.000 4"}, text, true, true},
		{"gone on with", []string{head, "left safe 1.000 2.000 4", "sent 6"}, text, true, false},
		{"another program's", []string{head, "left done 1.000 2.000 4"}, []byte("abd"), false, false},
		{"empty", nil, text, false, false},
	} {
		path := filepath.Join(t.TempDir(), "plot.gcode.journal")
		var all string
		for _, r := range c.records {
			all += seal(r) + "\n"
		}
		all += "drawn 9 #00000000\n" // damaged
		if err := os.WriteFile(path, []byte(all), 0o666); err != nil {
			t.Fatal(err)
		}
		ours, done, err := Recorded(path, c.text)
		if err != nil || ours != c.ours || done != c.done {
			t.Errorf("%s: ours %v, done %v, %v", c.name, ours, done, err)
		}
	}
	if _, _, err := Recorded(filepath.Join(t.TempDir(), "none"), text); err == nil {
		t.Error("a journal that is not there says something")
	}
}
