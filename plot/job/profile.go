package job

import (
	"path/filepath"
	"strings"

	"weftplot/plot/disk"
	"weftplot/plot/language"
	"weftplot/profiles"
)

// IsFile reports whether a setting names a profile by its file, not by the name of
// a built-in one.
func IsFile(name string) bool {
	return strings.HasSuffix(name, ".toml") || strings.ContainsAny(name, `/\`)
}

// ReadMachine returns a built-in machine, or one from a file that read reads. A
// profile that is not known or not sound is a [fault.Input].
func ReadMachine(read disk.Reader, name string) (profiles.Machine, error) {
	return readProfile(read, profiles.MachineKind, name, language.ParseMachine)
}

// ReadBacking is [ReadMachine] for backings.
func ReadBacking(read disk.Reader, name string) (profiles.Backing, error) {
	return readProfile(read, profiles.BackingKind, name, profiles.ParseBacking)
}

// ReadPen is [ReadMachine] for pens.
func ReadPen(read disk.Reader, name string) (profiles.Pen, error) {
	return readProfile(read, profiles.PenKind, name, profiles.ParsePen)
}

func readProfile[T any](read disk.Reader, kind profiles.Kind, name string, parse func(string, []byte) (T, error)) (T, error) {
	k := keeper{read: read}
	v, _, err := keepProfile(&k, kind, name, parse)
	return v, err
}

// keepProfile returns a profile by name or from a file, and the name that
// job.toml is to use for it.
func keepProfile[T any](k *keeper, kind profiles.Kind, name string, parse func(string, []byte) (T, error)) (T, string, error) {
	var zero T
	if !IsFile(name) {
		data, err := profiles.Source(kind, name)
		if err != nil {
			return zero, name, err
		}
		v, err := parse(name+".toml", data)
		return v, name, err
	}
	data, err := k.read(name, disk.MaxText)
	if err != nil {
		return zero, name, err
	}
	v, err := parse(name, data)
	if err != nil {
		return zero, name, err
	}
	base := filepath.Base(name)
	if prefix := string(kind) + "-"; !strings.HasPrefix(base, prefix) {
		base = prefix + base
	}
	return v, k.keep(base, data), nil
}
