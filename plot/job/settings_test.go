package job

import (
	"bytes"
	"strings"
	"testing"

	"weftplot/paths"
)

// Common practice, and a rug maker's published answers: punch work is done from
// the back, so pattern and lettering must be reversed; hooked work is done from
// the front and must not be; an iron turns the pattern over.
func TestMirrored(t *testing.T) {
	for _, c := range []struct {
		craft    Craft
		transfer Transfer
		want     bool
	}{
		{PunchNeedle, Direct, true}, {Hooking, Direct, false},
		{PunchNeedle, Tracing, true}, {Hooking, Tracing, false},
		{PunchNeedle, IronOn, false}, {Hooking, IronOn, true},
	} {
		if got := Mirrored(c.craft, c.transfer); got != c.want {
			t.Errorf("Mirrored(%s, %s) = %v, want %v", c.craft, c.transfer, got, c.want)
		}
		words := DrawnSide(c.craft, c.transfer)
		if strings.Contains(words.Title, "not mirrored") == c.want {
			t.Errorf("the side of %s, %s is called %q", c.craft, c.transfer, words.Title)
		}
	}
}

func TestSettingsReadBack(t *testing.T) {
	s := Defaults()
	s.Design, s.Name, s.Width, s.Border = "design.svg", "mat", 457.2, "4,2"
	s.At = []paths.Length{50, 60.25}
	s.PenFor = map[string]string{"border": "soft-pencil", "sea": "extra-fine-marker"}
	text, err := s.Format()
	if err != nil {
		t.Fatal(err)
	}
	got, err := ParseSettings("job.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	again, err := got.Format()
	if err != nil || !bytes.Equal(text, again) {
		t.Errorf("read back and written again:\n%s\nwas\n%s", again, text)
	}
	for text, want := range map[string]string{
		`width = "24in"`:                      `"design" is missing`,
		"design = \"a.svg\"\nwitdh = \"3in\"": `no key "witdh"`,
		"design = \"a.svg\"\nwidth = \"24\"":  "has no unit",
		"design = \"a.svg\"\nwidth = 24":      "width: the number 24 has no unit",
	} {
		if _, err := ParseSettings("job.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseSettings(%q) = %v, want it to say %q", text, err, want)
		}
	}
}
