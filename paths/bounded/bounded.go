// Package bounded has what readers of designs share to stay within bounds: defaults
// of limits, the errors of files that exceed them, and the last steps of a list of
// notes.
//
// It is for packages that turn a file into a [paths.Design]. It reads nothing
// and counts nothing itself: a reader has its own limits and counts against
// them. Everything here takes time in proportion to the notes, which a reader
// bounds.
package bounded

import (
	"cmp"
	"fmt"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Default gives a setting its default where it is zero, negative or no number.
func Default[T int | float64](v *T, def T) {
	if !(*v > 0) {
		*v = def
	}
}

// smaller is what to do about a file that asks for too much.
const smaller = "simplify the drawing or save it in parts"

// TooLong returns the error of a file longer than limit bytes.
func TooLong(name string, limit int) *fault.Error {
	return TooMuch(name, "the file is longer than %d bytes, the most that is read", limit)
}

// TooMuch returns the error of a file that exceeds a bound at a place in it.
func TooMuch(where, format string, args ...any) *fault.Error {
	return fault.Bad(where, smaller, format, args...)
}

// Nothing returns the error of a file without line work. Its advice is the
// first note whose code is not in passOver, or do when there is none.
func Nothing(name, do string, notes []paths.Note, passOver ...string) *fault.Error {
	for _, n := range notes {
		if !slices.Contains(passOver, n.Code) {
			do = fmt.Sprintf("line %d, %s: %s", n.Line, n.Element, n.Message)
			break
		}
	}
	return fault.Bad(name, do, "it holds no line work")
}

// InOrder returns the notes in the order of the file. Where more were left out, a
// last note says so; format takes their number.
func InOrder(notes []paths.Note, more int, format string) []paths.Note {
	out := slices.Clone(notes)
	slices.SortStableFunc(out, func(a, b paths.Note) int { return cmp.Compare(a.Line, b.Line) })
	if more > 0 {
		out = append(out, paths.Note{Code: "more-notes", Message: fmt.Sprintf(format, more)})
	}
	return out
}
