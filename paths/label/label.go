// Package label cleans names that come from files, such as those of designs,
// layers and machines, for the places where they are shown or used: a terminal,
// a picture, a remark in a program, the name of a file. A name from a file may
// hold anything: characters that steer a terminal or turn the direction of
// writing, line ends, steps out of a folder, a megabyte of text.
//
// It is not for text that has a syntax of its own: a picture or a report still
// escapes what it writes by its own rules. The cost grows with the length of the
// name up to a bound.
package label

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Place is where a name is shown or used.
type Place int

const (
	// Line is a line of text for a person: a terminal, a sheet, a message.
	Line Place = iota
	// Picture is a label in a picture.
	Picture
	// Remark is a comment in a program: printable ASCII, accents taken off,
	// without brackets, semicolons and percent signs, which end or begin things
	// there, and without "?", "!" and "~", on which small controllers act
	// wherever they occur (common practice).
	Remark
	// File is a part of a file's name on any of the usual systems.
	File
)

// most is how many characters a name may have in a place; a longer one is cut
// and ends in an ellipsis.
var most = map[Place]int{Line: 120, Picture: 60, Remark: 60, File: 60}

// noName replaces a name of which nothing is left.
const noName = "unnamed"

// Clean returns name in a form that is safe at the place: on one line, without
// characters that control anything, of bounded length. Where nothing is left of
// a name that was not empty it returns "unnamed"; an empty name stays empty,
// except for a file, which must have one. A name that is harmless comes back as
// it is, and cleaning twice changes nothing more.
func Clean(name string, p Place) string {
	out := shorten(visible(name), most[p])
	switch p {
	case Remark:
		// A mark that stood between two blanks leaves both.
		out = shorten(strings.Map(inRemark, visible(withoutMarks(out))), most[p])
	case File:
		out = fileName(out)
	}
	if out = strings.TrimSpace(out); out == "" && (name != "" || p == File) {
		return noName
	}
	return out
}

// IsPlain reports whether a name is printable ASCII only, with single blanks between words
// and none round them: as most names are.
func IsPlain(name string) bool {
	blank := true
	for i := range len(name) {
		c := name[i]
		if c < ' ' || c > '~' || blank && c == ' ' {
			return false
		}
		blank = c == ' '
	}
	return !blank || name == ""
}

// scanned is how many bytes of a name are looked at: far more than any place
// holds.
const scanned = 4096

// visible returns the name with every run of blanks and control characters as
// one blank and without invisible characters.
func visible(name string) string {
	if len(name) <= scanned && IsPlain(name) {
		return name
	}
	var b strings.Builder
	gap := false
	for _, r := range name[:min(len(name), scanned)] {
		switch {
		case unicode.IsSpace(r), unicode.IsControl(r), unicode.In(r, unicode.Zl, unicode.Zp):
			gap = true
			continue
		case unicode.In(r, unicode.Cf, unicode.Co, unicode.Cs, unicode.Variation_Selector):
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte(' ')
		}
		gap = false
		b.WriteRune(r) // invalid UTF-8 comes out as U+FFFD
	}
	return b.String()
}

// shorten cuts the name to n characters, the last of them an ellipsis where
// anything was cut off.
func shorten(name string, n int) string {
	if utf8.RuneCountInString(name) <= n {
		return name
	}
	return strings.TrimRight(string([]rune(name)[:n-1]), " ") + "…"
}

// withoutMarks removes the accents from letters.
func withoutMarks(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
}

// inRemark maps a character to one that a comment of any of the languages may
// hold.
func inRemark(r rune) rune {
	switch {
	case r == '…':
		return '.'
	case r > '~' || r < ' ':
		return '_'
	case r == '?' || r == '!':
		return '.'
	case r == '~':
		return '-'
	case strings.ContainsRune(`()[]{};%"`, r):
		return '\''
	}
	return r
}

// reserved reports whether one of the usual systems keeps a name for a device.
// Source: Microsoft, "Naming Files, Paths, and Namespaces" (from memory).
func reserved(stem string) bool {
	switch stem = strings.ToLower(stem); {
	case stem == "con", stem == "prn", stem == "aux", stem == "nul":
		return true
	case len(stem) == 4 && (stem[:3] == "com" || stem[:3] == "lpt"):
		return stem[3] >= '1' && stem[3] <= '9'
	}
	return false
}

// fileName turns a name with only visible characters into a part of a file's
// name.
func fileName(name string) string {
	name = strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || r == utf8.RuneError {
			return '-'
		}
		return r
	}, name)
	// A leading dot hides a file, and a leading dash makes it look like an
	// option; one of the systems drops a trailing dot or blank.
	name = strings.TrimRight(strings.TrimLeft(name, ".- "), ". ")
	stem, _, _ := strings.Cut(name, ".")
	if reserved(strings.TrimSpace(stem)) {
		name = "_" + name
	}
	return name
}
