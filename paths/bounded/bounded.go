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

// InOrder returns the notes, the most serious first, and those that are equally so
// in the order of the file. Where more were left out, a last note says so; format
// takes their number.
func InOrder(notes []paths.Note, more int, format string) []paths.Note {
	out := slices.Clone(notes)
	slices.SortStableFunc(out, func(a, b paths.Note) int {
		return cmp.Or(cmp.Compare(gravity(a.Code), gravity(b.Code)), cmp.Compare(a.Line, b.Line))
	})
	if more > 0 {
		out = append(out, paths.Note{Code: "more-notes", Message: fmt.Sprintf(format, more)})
	}
	return out
}

// slight are the kinds of notes that say how something is drawn, or that it is left
// out as the file says; all others say that lines are missing, or wrong.
var slight = map[string]bool{
	"animation-not-drawn": true, "condition-not-met": true, "dashes-drawn-whole": true, "fills-as-outlines": true,
	"fills-united": true, "hidden": true, "layer-skipped": true, "no-paint": true, "paint-not-drawn": true,
	"paper-not-drawn": true, "size-from-file": true, "size-in-pixels": true, "text-as-outlines": true, "words-left-out": true,
}

// grave are the kinds that say that whole parts of the drawing are missing, or that
// lines are drawn which the file hides.
var grave = map[string]bool{
	"clip-not-applied": true, "element-not-known": true, "entity-damaged": true, "entity-not-drawn": true,
	"file-damaged": true, "fills-not-united": true, "foreign-object-not-drawn": true, "image-not-drawn": true,
	"mask-not-applied": true, "out-of-range": true, "shape-damaged": true, "text-not-drawn": true,
}

// gravity orders the kinds of notes: 0 for those that are looked at first.
func gravity(code string) int {
	switch {
	case grave[code]:
		return 0
	case slight[code]:
		return 2
	}
	return 1
}
