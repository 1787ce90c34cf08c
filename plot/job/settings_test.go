package job

import (
	"bytes"
	"slices"
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

// A clearance of 0, an angle of 0 and other empty values mean in a file what they
// say, not the default.
func TestEmptyIsSaid(t *testing.T) {
	s, err := ParseSettings("job.toml", []byte("design = \"a.svg\"\nclearance = 0\n"))
	if err != nil || s.ClearRows() != 0 || s.Complete().ClearRows() != 0 {
		t.Errorf("clearance 0 is read as %d rows, %v", s.ClearRows(), err)
	}
	text, err := s.Format()
	if err != nil || !strings.Contains(string(text), "clearance = 0\n") {
		t.Errorf("%v\n%s", err, text)
	}
	if n := (Settings{}).ClearRows(); n != 2 {
		t.Errorf("the default clearance is %d rows", n)
	}
	for key, want := range map[string]string{
		"snap = 0.0": "no use for snapping", `craft = ""`: `no craft called ""`, `transfer = ""`: `no transfer called ""`,
		"clearance = -1": "-1 rows", `effort = ""`: "no effort", `machine = ""`: `no machine called ""`, `pen = ""`: `no pen called ""`,
	} {
		if _, err := ParseSettings("job.toml", []byte("design = \"a.svg\"\n"+key+"\n")); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want it to say %q", key, err, want)
		}
	}
}

// Every key of the table sets its own setting, and nothing else.
func TestEveryKey(t *testing.T) {
	texts := map[string]string{
		"units": "cm", "width": "30cm", "height": "40cm", "craft": "hooking", "transfer": "tracing", "backing": "rug-linen",
		"count": "10x10/in", "margin": "3in", "border": "edge", "clearance": "7", "snap": "5", "no-snap": "true", "dashes": "true",
		"unite": "true", "font": "rope.ttf", "skip": "sea", "marks": "m.toml", "fit": "affine", "at": "1mm,2mm", "lay": "turned", "machine": "gantry-z",
		"language": "hpgl", "pen": "soft-pencil", "pen-for": "sea=soft-pencil", "tolerance": "0.2mm", "effort": "quick",
		"alphabet": "counted", "words": "QUAY", "words-at": "top", "words-height": "12rows", "words-shift": "1,-2",
		"least": "time", "keep-doubles": "true", "through-crossings": "true", "really": "true", "print": "letter", "print-margin": "0.5in", "printer-scale": "100.4%",
		"overlap": "1in", "print-line": "1mm", "print-grey": "30", "border-on": "machine", "iron": "4x8in",
		"copies": "12", "names": "class.txt", "cloth": "60inx5yd", "gap": "6in", "turn": "true", "panels": "true", "lap": "3mm", "marks-for": "2=m.toml",
		"stripes": "nearest", "stripes-for": "sea=nearest", "gauge": "6/in", "snap-for": "sea=off", "first": "sea",
		"channel": "sea=across:40", "diagonals": "off",
		"repeat": "wave", "repeat-height": "12rows", "repeat-gap": "3", "repeat-give": "size", "repeat-corner": "mitre",
		"ticks": "true", "hem": "8", "fold": "12rows", "cut": "margin",
	}
	plain := strings.Split(formatted(t, Settings{Design: "a.svg"}), "\n")
	for _, k := range Keys() {
		text, ok := texts[k.Name]
		if !ok {
			t.Errorf("no text for %s", k.Name)
			continue
		}
		s, err := Settings{Design: "a.svg"}.With(map[string][]string{k.Name: {text}})
		if err != nil {
			t.Errorf("%s: %v", k.Name, err)
			continue
		}
		var changed []string
		for _, line := range strings.Split(formatted(t, s), "\n") {
			if !slices.Contains(plain, line) && line != "" {
				changed = append(changed, line)
			}
		}
		if len(changed) == 0 || !strings.HasPrefix(strings.TrimLeft(changed[0], "["), k.Name) || len(changed) > 1 && !strings.HasSuffix(k.Name, "-for") {
			t.Errorf("%s changes %q", k.Name, changed)
		}
	}
	if _, err := (Settings{}).With(map[string][]string{"depth": {"3"}}); err == nil {
		t.Error("an unknown key is taken")
	}
	s, err := Settings{Width: 100, Marks: "m.toml"}.With(map[string][]string{"height": {"20cm"}, "at": {"1mm,2mm"}})
	if err != nil || s.Width != 0 || s.Marks != "" {
		t.Errorf("width %v, marks %q, %v", s.Width, s.Marks, err)
	}
}

func formatted(t *testing.T, s Settings) string {
	t.Helper()
	text, err := s.Format()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// A picture is told from a drawing by how its format says that files begin.
func TestPictureKind(t *testing.T) {
	for data, want := range map[string]string{
		"\x89PNG\r\n\x1a\n": "a picture (PNG)", "\xff\xd8\xff\xe0": "a picture (JPEG)", "II*\x00": "a picture (TIFF)",
		"RIFF\x00\x00\x00\x00WEBPVP8 ": "a picture (WebP)", "\x00\x00\x00\x18ftypheic": "a picture (HEIC)",
		"BM\x00\x00\x00\x00\x00\x00\x00\x00\x36\x00\x00\x00\x28\x00\x00\x00\x01\x00\x00\x00\x01\x00\x00\x00": "a picture (BMP)",
		"\n%PDF-1.4": "a PDF", "<svg><!-- %PDF- --></svg>": "", "0\nSECTION\n": "", "BMX": "", "": "",
	} {
		if got := pictureKind([]byte(data)); got != want {
			t.Errorf("%q: %q, want %q", data, got, want)
		}
		if _, err := ReadDesign("page", []byte(data), Settings{}, nil); want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%q: %v", data, err)
		}
	}
}
