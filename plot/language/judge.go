package language

import (
	"fmt"
	"strings"

	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Judgement is what stands against giving a program to a machine. The zero value
// is nothing: the program may be sent.
type Judgement struct {
	// Doubts are what is not wholly understood of it. A machine does what it is
	// told, which may be something else than what is shown.
	Doubts []program.Note
	// Broken are the limits of the machine that it breaks.
	Broken []Broken
}

// Judge judges a program, as its reader gave it with the machine, for that
// machine. Whether the machine reads its language is for [Reads]. The cost is
// linear in the number of blocks.
func Judge(p program.Program, m profiles.Machine) Judgement {
	j := Judgement{Doubts: p.Doubts, Broken: broken(p, m)}
	if n, down := endsDown(p); down {
		j.Doubts = append(j.Doubts[:len(j.Doubts):len(j.Doubts)], n)
	}
	return j
}

// Refused returns why the program must not be sent, nil if nothing stands against
// it: a [fault.Error] of kind Input that lists what is not understood, or else one
// of kind Fit that names the limits that are broken. With asItIs it is sent though
// it is not understood, but not though it breaks limits. where names the program.
func (j Judgement) Refused(where string, asItIs bool) error {
	if n := len(j.Doubts); n > 0 && !asItIs {
		return fault.Bad(where, "look at the program's text; a program that another made for this machine can be drawn with [as-it-is], by who answers for it",
			"%s not wholly understood: %s", things(n), listed(n, func(i int) string { return NoteText(j.Doubts[i]) }))
	}
	return j.Unfit(where)
}

// Unfit returns the error about the limits that are broken, nil if none is.
func (j Judgement) Unfit(where string) error {
	if n := len(j.Broken); n > 0 {
		return fault.TooBig(where, "a dry run with a picture shows where; prepare the job for this machine",
			"%s", listed(n, func(i int) string { return j.Broken[i].Message }))
	}
	return nil
}

func things(n int) string {
	if n == 1 {
		return "one thing in it is"
	}
	return fmt.Sprintf("%d things in it are", n)
}

// mostListed is how many things an error lists.
const mostListed = 8

// listed puts the first few of n things into a sentence and counts the others.
func listed(n int, text func(i int) string) string {
	var out []string
	for i := range min(n, mostListed) {
		out = append(out, text(i))
	}
	if more := n - len(out); more > 0 {
		out = append(out, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(out, "; ")
}
