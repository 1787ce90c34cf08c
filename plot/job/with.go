package job

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"weftplot/paths"
	"weftplot/paths/fault"
)

// With returns s with the given settings in place of its own. A setting of kind
// [List] may have several texts, any other has one. Where only one of width and
// height is given, the other one follows from the design again; where only one of
// marks and at is given, the other one is dropped. pen-for, snap-for and stripes-for add to
// what is said of other layers.
//
// A text that cannot be read is a [fault.Input] that names the setting.
func (s Settings) With(given map[string][]string) (Settings, error) {
	s = s.Complete()
	s.Clearance = s.ClearRows()
	s.PenFor, s.StripesFor, s.SnapFor, s.MarksFor = maps.Clone(s.PenFor), maps.Clone(s.StripesFor), maps.Clone(s.SnapFor), maps.Clone(s.MarksFor)
	for _, pair := range []struct {
		given, dropped string
		drop           func(*Settings)
	}{
		{"width", "height", func(s *Settings) { s.Height, s.HeightRows = 0, 0 }},
		{"height", "width", func(s *Settings) { s.Width, s.WidthRows = 0, 0 }},
		{"names", "copies", func(s *Settings) { s.Copies = 0 }},
		{"copies", "names", func(s *Settings) { s.Names = "" }},
		{"marks", "at", func(s *Settings) { s.At = nil }}, // the marks say where the rug lies
		{"at", "marks", func(s *Settings) { s.Marks = "" }},
	} {
		if given[pair.given] != nil && given[pair.dropped] == nil {
			pair.drop(&s)
		}
	}
	known := 0
	for _, k := range keys {
		if texts, ok := given[k.Name]; ok {
			known++
			if err := k.apply(&s, texts); err != nil {
				return Settings{}, err
			}
		}
	}
	if known < len(given) {
		return Settings{}, unknownKey(given)
	}
	s.Said = saidIn(given, s.Said)
	if err := s.emptySaid(); err != nil {
		return Settings{}, err
	}
	return s.withNoClearance(), nil
}

// saidIn returns the system of the first of the given lengths, in the order of their
// weight, or was where none is given.
func saidIn(given map[string][]string, was paths.System) paths.System {
	for _, name := range []string{"width", "height", "margin", "cloth", "gap", "at"} {
		for _, text := range given[name] {
			if system, ok := paths.SystemOf(text); ok {
				return system
			}
		}
	}
	return was
}

// apply sets the setting from its texts.
func (k Key) apply(s *Settings, texts []string) error {
	if k.Kind != List && len(texts) != 1 {
		return fault.Bad(bracketed(k.Name), "give one", "%d values are given", len(texts))
	}
	return fault.At(bracketed(k.Name), k.set(s, texts))
}

// unknownKey is the fault of the first name, by the alphabet, that no setting has.
func unknownKey(given map[string][]string) error {
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if !slices.ContainsFunc(keys, func(k Key) bool { return k.Name == name }) {
			return fault.Bad("", "see the list of settings", "there is no setting called %q", name)
		}
	}
	return nil
}

func bracketed(name string) string { return "[" + name + "]" }

// text sets a setting that is a text.
func text[T ~string](field func(*Settings) *T) func(*Settings, []string) error {
	return func(s *Settings, texts []string) error {
		*field(s) = T(texts[0])
		return nil
	}
}

// size sets a length above zero.
func size(field func(*Settings) *paths.Length) func(*Settings, []string) error {
	return func(s *Settings, texts []string) error {
		l, err := ParseSize(texts[0])
		*field(s) = l
		return err
	}
}

// ParseSize reads a length that must be above zero. What is none is a
// [fault.Input].
func ParseSize(text string) (paths.Length, error) {
	l, err := paths.ParseLength(text)
	if err == nil && l <= 0 {
		err = fault.Bad("", `give a length above zero, such as "24in", "61cm" or "610mm"`, "%s is no size", text)
	}
	return l, err
}

func toggle(field func(*Settings) *bool) func(*Settings, []string) error {
	return func(s *Settings, texts []string) error {
		on, err := strconv.ParseBool(texts[0])
		if err != nil {
			return fault.Bad("", "give true or false", "%q is neither", texts[0])
		}
		*field(s) = on
		return nil
	}
}

func setClearance(s *Settings, texts []string) error {
	n, ok := rowsOfHoles(texts[0])
	if !ok {
		return fault.Bad("", "give a number of rows of holes from 0 to 1000", "%q is no number of rows", texts[0])
	}
	s.Clearance = n
	return nil
}

// setSnap sets the angle, and lets lines be snapped again.
func setSnap(s *Settings, texts []string) error {
	angle, err := strconv.ParseFloat(texts[0], 64)
	if err != nil {
		return fault.Bad("", "give an angle above 0 and up to 20 degrees", "%q is no angle", texts[0])
	}
	s.Snap, s.NoSnap = angle, false
	return nil
}

// setGrey sets how pale lines are printed.
func setGrey(s *Settings, texts []string) error {
	grey, err := strconv.ParseFloat(strings.TrimSuffix(texts[0], "%"), 64)
	if err != nil || !(grey >= 0 && grey <= 90) {
		return fault.Bad("", "give a number from 0, which is black, to 90", "%q is no grey to print with", texts[0])
	}
	s.PrintGrey = grey
	return nil
}

func setAt(s *Settings, texts []string) error {
	x, y, ok := strings.Cut(texts[0], ",")
	if !ok {
		return fault.Bad("", `give two lengths, such as "50mm,60mm"`, "%q is not a place", texts[0])
	}
	s.At = make([]paths.Length, 2)
	for i, v := range []string{x, y} {
		l, err := paths.ParseLength(v)
		if err != nil {
			return err
		}
		s.At[i] = l
	}
	return nil
}
