package keyfile

import (
	"errors"
	"strings"
	"testing"

	"weftplot/paths"
	"weftplot/paths/fault"
)

type form struct {
	Name  string          `toml:"name"`
	Size  paths.Length    `toml:"size"`
	Area  [2]paths.Length `toml:"area"`
	Speed struct {
		Draw paths.Speed `toml:"draw"`
	} `toml:"speed"`
	Mark []struct {
		X *paths.Length `toml:"x"`
		N *float64      `toml:"n"`
	} `toml:"mark"`
}

func TestDecode(t *testing.T) {
	var f form
	text := "name = \"a\"\nsize = \"24-1/2in\"\narea = [\"1mm\", \"2cm\"]\n[speed]\ndraw = \"40mm/s\"\n[[mark]]\nx = \"3mm\"\nn = 4\n"
	if err := Decode("a.toml", []byte(text), &f); err != nil {
		t.Fatal(err)
	}
	if f.Size != 622.3 || f.Area != [2]paths.Length{1, 20} || f.Speed.Draw != 40 || *f.Mark[0].X != 3 || *f.Mark[0].N != 4 {
		t.Errorf("Decode = %+v", f)
	}
	for text, want := range map[string]string{
		"nmae = \"a\"":                     `a.toml: line 1: there is no key "nmae" in such a file`,
		"\n[speed]\ndarw = \"1mm/s\"":      `a.toml: line 3: there is no key "speed.darw"`,
		"size = 24":                        "a.toml: size: the number 24 has no unit",
		"size = 24.5":                      "the number 24.5 has no unit",
		"size = inf":                       "has no unit",
		"area = [\"1mm\", 2]":              "a.toml: area: the number 2 has no unit",
		"[speed]\ndraw = 40":               "a.toml: speed.draw: the number 40 has no unit",
		"[[mark]]\nn = 3\n[[mark]]\nx = 3": "a.toml: mark.2.x: the number 3 has no unit",
		"size = \"24\"":                    "a.toml: line 1: size: the length \"24\" has no unit",
		"size = \"24in":                    "a.toml: line 1",
		"size = true":                      `a.toml: "true" is not a length`,
		"name = 3":                         "a.toml: line 1",
		"area = \"1mm\"":                   "a.toml: line 1",
		"name = \"a\"\nname = \"b\"":       "a.toml: line 2",
		"[[speed]]\n":                      "a.toml",
	} {
		var f form
		err := Decode("a.toml", []byte(text), &f)
		var bad *fault.Error
		if !errors.As(err, &bad) || bad.Kind != fault.Input || !strings.Contains(err.Error(), want) {
			t.Errorf("Decode(%q) = %v, want a fault that says %q", text, err, want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{"", "size = 3", "area = [\"1mm\", 2]", "[[mark]]\nx = \"3mm\"", "[speed]\ndraw = nan", "a.b.c = {d = [1, {e = 2}]}"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var v form
		err := Decode("fuzz.toml", data, &v)
		var bad *fault.Error
		if err != nil && !errors.As(err, &bad) {
			t.Errorf("Decode(%q) = %v, which is no fault", data, err)
		}
	})
}
