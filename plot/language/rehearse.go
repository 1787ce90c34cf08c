package language

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// chordError is how far the pen may be from a curve while it is held up, mm.
const chordError = 0.2

// travelsOnly returns the program that goes along p with the pen up: travels,
// in chords of curves, and remarks. Pauses, waits and changes of pen are left
// out.
func travelsOnly(p program.Program) program.Program {
	var blocks []program.Block
	for _, b := range p.Blocks {
		switch b.Kind {
		case program.Travel, program.Remark:
			blocks = append(blocks, b)
		case program.Draw:
			pts := paths.Stroke{b.Curve}.Flatten(chordError)
			for i, q := range pts[1:] {
				blocks = append(blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: pts[i], B: q}, Feed: b.Feed})
			}
		}
	}
	return program.Program{Language: p.Language, Machine: p.Machine, Blocks: blocks}
}

// withoutPen writes the travels along p and proves on what was written that the
// pen stays up and goes as far.
func withoutPen(l Language, p program.Program, m profiles.Machine) (program.Program, []byte, error) {
	wanted := travelsOnly(p)
	up, text, err := rewrite(l, wanted, m)
	if err != nil {
		return program.Program{}, nil, err
	}
	if why := staysUp(up, wanted, m); why != "" {
		return program.Program{}, nil, fault.Bad("", "check the pen lines of the machine's profile", "no rehearsal can be written that is sure to keep the pen up: %s", why)
	}
	return up, text, nil
}

// staysUp returns why a program that was read back is not the travels that were
// wanted, "" if it is.
func staysUp(up, wanted program.Program, m profiles.Machine) string {
	for _, b := range up.Blocks {
		switch b.Kind {
		case program.PenDown, program.Draw:
			return fmt.Sprintf("line %d lowers the pen", b.Line)
		}
	}
	if len(up.Doubts) > 0 {
		return NoteText(up.Doubts[0])
	}
	if len(up.Beyond) > 0 {
		return NoteText(up.Beyond[0])
	}
	got, want := program.Total(up), program.Total(wanted)
	// A move shorter than a step is left to the next.
	if slack := 0.01*want.TravelMM + 2*m.Step(); math.Abs(got.TravelMM-want.TravelMM) > slack {
		return fmt.Sprintf("it goes %.1f mm and not %.1f mm", got.TravelMM, want.TravelMM)
	}
	return ""
}

// Edge returns a program that takes the pen, held up, once round the rectangle of
// all that p draws, and parks it. A program that draws nothing is a
// [fault.Error].
func Edge(p program.Program, m profiles.Machine) (program.Program, error) {
	box := program.Total(p).Bounds
	if box.IsEmpty() {
		return program.Program{}, fault.Bad("", "", "the program draws nothing, so it has no edge")
	}
	corners := []paths.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}, box.Min, m.ParkAt()}
	var blocks []program.Block
	var at paths.Point
	for _, q := range corners {
		blocks = append(blocks, program.Block{Kind: program.Travel, Curve: paths.Line{A: at, B: q}})
		at = q
	}
	return program.Program{Language: p.Language, Machine: p.Machine, Blocks: blocks}, nil
}
