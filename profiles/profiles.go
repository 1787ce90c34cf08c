// Package profiles holds the data of machines, backings and pens: their types,
// their validation, and the built-in ones, which are TOML files embedded in the
// program. A user's own are files of the same form.
//
// A profile is data about a thing, not about a job: settings of a job are in
// package plot. Nothing here talks to a machine; what a controller answers, its
// [Manner], is used by device/flow/answers. Reading a profile costs well under a
// millisecond, and values are not changed afterwards.
package profiles

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"weftplot/paths/fault"
	"weftplot/paths/keyfile"
)

//go:embed machines/*.toml backings/*.toml pens/*.toml
var embedded embed.FS

// Builtin is the file system of the built-in profiles: machines/NAME.toml,
// backings/NAME.toml and pens/NAME.toml.
func Builtin() fs.FS { return embedded }

// Kind is a kind of profile.
type Kind string

// The kinds of profiles.
const (
	MachineKind Kind = "machine" // a [Machine]
	BackingKind Kind = "backing" // a [Backing]
	PenKind     Kind = "pen"     // a [Pen], or a blade
)

// Kinds are all the kinds, in the order in which they are listed.
var Kinds = []Kind{MachineKind, BackingKind, PenKind}

func (k Kind) folder() string { return string(k) + "s" }

// Names returns the names of the built-in profiles of a kind, sorted.
func Names(k Kind) []string {
	entries, err := fs.ReadDir(embedded, k.folder())
	if err != nil {
		panic("profiles: " + err.Error()) // the folder is embedded above
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".toml"))
	}
	slices.Sort(names)
	return names
}

// Source returns the TOML text of a built-in profile. An unknown name is a
// [fault.Error] that lists the known ones.
func Source(k Kind, name string) ([]byte, error) {
	data, err := fs.ReadFile(embedded, path.Join(k.folder(), name+".toml"))
	if err != nil {
		return nil, fault.Bad("", fault.Meant("", name, Names(k), "the built-in ones are "+strings.Join(Names(k), ", ")),
			"there is no %s called %q", k, name)
	}
	return data, nil
}

// MachineNamed returns a built-in machine.
func MachineNamed(name string) (Machine, error) { return named(MachineKind, name, ParseMachine) }

// BackingNamed returns a built-in backing.
func BackingNamed(name string) (Backing, error) { return named(BackingKind, name, ParseBacking) }

// PenNamed returns a built-in pen.
func PenNamed(name string) (Pen, error) { return named(PenKind, name, ParsePen) }

func named[T any](k Kind, name string, parse func(string, []byte) (T, error)) (T, error) {
	data, err := Source(k, name)
	if err != nil {
		var zero T
		return zero, err
	}
	return parse(name+".toml", data)
}

// KindOf returns which kind of profile a TOML text is, by the keys that only
// that kind has. The file name is for the message.
func KindOf(file string, data []byte) (Kind, error) {
	var keys map[string]any
	if err := keyfile.Decode(file, data, &keys); err != nil {
		return "", err
	}
	for _, c := range []struct {
		key  string
		kind Kind
	}{{"language", MachineKind}, {"area", MachineKind}, {"lift", MachineKind}, {"count", BackingKind}, {"width", PenKind}} {
		if _, ok := keys[c.key]; ok {
			return c.kind, nil
		}
	}
	return "", fault.Bad(file, `a machine has "language" and "area", a backing "count", a pen "width"`,
		"this is no profile of a machine, a backing or a pen")
}

// Check reads and validates a profile of any kind, and returns the kind.
func Check(file string, data []byte) (Kind, error) {
	kind, err := KindOf(file, data)
	if err != nil {
		return "", err
	}
	switch kind {
	case MachineKind:
		_, err = ParseMachine(file, data)
	case BackingKind:
		_, err = ParseBacking(file, data)
	case PenKind:
		_, err = ParsePen(file, data)
	}
	return kind, err
}

// About returns the sentence that describes a built-in profile.
func About(k Kind, name string) (string, error) {
	data, err := Source(k, name)
	if err != nil {
		return "", err
	}
	var p struct {
		About string `toml:"about"`
	}
	if err := toml.Unmarshal(data, &p); err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	return p.About, nil
}
