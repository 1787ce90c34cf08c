package job

import (
	"reflect"
	"testing"
)

// A default that is told holds: said aloud it makes the same settings as silence.
func TestDefaultTextHolds(t *testing.T) {
	silent, err := Settings{}.With(nil)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for _, k := range keys {
		text := DefaultText(k.Name)
		if text == "" || followed[k.Name] != "" {
			continue
		}
		told++
		said, err := Settings{}.With(map[string][]string{k.Name: {text}})
		if err != nil || !reflect.DeepEqual(said, silent) {
			t.Errorf("%s %s: %+v, %v; silence makes %+v", k.Name, text, said, err, silent)
		}
	}
	if told < 9 { // craft, transfer, backing, clearance, snap, machine, pen, tolerance, effort
		t.Errorf("only %d defaults are told", told)
	}
}

// What follows from an input is told in words, or as what may be said.
func TestFollowedMayBeSaid(t *testing.T) {
	for _, name := range []string{"alphabet", "words-at", "words-height", "fit", "lay", "overlap", "border", "border-on", "least", "stripes", "diagonals", "gauge", "words-shift", "iron", "printer-scale"} {
		given := map[string][]string{name: {DefaultText(name)}}
		if name == "border-on" {
			given["border"] = []string{"edge"}
		}
		s, err := Settings{}.With(given)
		if err == nil {
			err = s.Validate()
		}
		if err != nil {
			t.Errorf("%s %s: %v", name, DefaultText(name), err)
		}
	}
	for name := range followed {
		known := false
		for _, k := range keys {
			known = known || k.Name == name
		}
		if !known {
			t.Errorf("there is no setting %q", name)
		}
	}
}
