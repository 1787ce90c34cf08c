package fault_test

import (
	"fmt"
	"testing"

	"weftplot/paths/fault"
)

func flag(setting string) string {
	if setting == "width" || setting == "pen-for" {
		return "--" + setting
	}
	return ""
}

func TestRename(t *testing.T) {
	for text, want := range map[string]string{
		"give [width] 24in":           "give --width 24in",
		"[width]: it has no unit":     "--width: it has no unit",
		"[pen-for] or ([width])":      "--pen-for or (--width)",
		"mat[width].svg: no such":     "mat[width].svg: no such",
		"there is no [depth] to give": "there is no [depth] to give",
		"[width] [width]":             "--width --width",
	} {
		if got := fault.Rename(text, flag); got != want {
			t.Errorf("Rename(%q) = %q, want %q", text, got, want)
		}
	}
	if got := fault.Rename("[width]", nil); got != "[width]" {
		t.Errorf("without names: %q", got)
	}
}

func ExampleRename() {
	err := fault.Bad("mat.svg", "give [width] 24in", "the design states no size")
	flags := func(setting string) string { return "--" + setting }
	fmt.Println(fault.Rename(err.Do, flags))
	// Output:
	// give --width 24in
}
