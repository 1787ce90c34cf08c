package paper

import (
	"fmt"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// A Size is a kind of paper.
type Size struct {
	Name string // as it is asked for: "letter", "24in-roll"
	// W and H are its sides in mm, upright. A roll has a width, and H is the most
	// that is cut from it.
	W, H float64
	Roll bool
	// Margin is what printers commonly leave blank along every side, in mm.
	Margin float64
}

// sizes are the sheets: ANSI/ASME Y14.1 for the sizes in inches (legal by common
// practice), ISO 216 for the others. Margins are common practice.
var sizes = []Size{
	{Name: "letter", W: 215.9, H: 279.4, Margin: 6.35},
	{Name: "legal", W: 215.9, H: 355.6, Margin: 6.35},
	{Name: "tabloid", W: 279.4, H: 431.8, Margin: 6.35},
	{Name: "a4", W: 210, H: 297, Margin: 6},
	{Name: "a3", W: 297, H: 420, Margin: 6},
	{Name: "a2", W: 420, H: 594, Margin: 6},
}

// rollEnd is the ending of the name of a roll.
const rollEnd = "-roll"

// The bounds of a roll in mm. Readers of PDF take pages up to 200 in long
// (ISO 32000-1, annex C), and a page a little shorter is safe.
const (
	narrowRoll = 200
	wideRoll   = 2000
	longSheet  = 5000
)

// SizeNames are the sizes that can be asked for by name, and an example of a roll.
func SizeNames() []string {
	var names []string
	for _, s := range sizes {
		names = append(names, s.Name)
	}
	return append(names, "24in"+rollEnd)
}

// ParseSize reads the name of a size: one of [SizeNames], or a width with "-roll"
// after it. Any other is a [fault.Input].
func ParseSize(name string) (Size, error) {
	for _, s := range sizes {
		if s.Name == name {
			return s, nil
		}
	}
	do := "use " + strings.Join(SizeNames(), ", ")
	width, ok := strings.CutSuffix(name, rollEnd)
	if !ok {
		return Size{}, fault.Bad("print", do, "there is no paper called %q here", name)
	}
	w, err := paths.ParseLength(width)
	if err != nil {
		return Size{}, fault.At("print", err)
	}
	if !(w >= narrowRoll && w <= wideRoll) {
		return Size{}, fault.Bad("print", "give a width from 20cm to 2m, such as 24in-roll", "a roll of paper %s wide is not possible", w)
	}
	return Size{Name: name, W: float64(w), H: longSheet, Roll: true, Margin: 6}, nil
}

// Scale is the length that a printer makes of one, across and along its paper.
type Scale struct{ X, Y float64 }

// Unit is the scale of a printer that is true.
var Unit = Scale{1, 1}

// ParseScale reads what a person measured of a print: "100.4%", or across and
// along "100.4%x99.8%". What is not within 90 to 110 % is a [fault.Input].
func ParseScale(text string) (Scale, error) {
	x, y, two := strings.Cut(text, "x")
	if !two {
		y = x
	}
	var s Scale
	for _, f := range []struct {
		text string
		to   *float64
	}{{x, &s.X}, {y, &s.Y}} {
		number, percent := strings.CutSuffix(strings.TrimSpace(f.text), "%")
		v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil || !percent {
			return Scale{}, fault.Bad("printer-scale", `give what came out, in per cent of what should: "100.4%", or across and along "100.4%x99.8%"`, "%q is no scale", text)
		}
		if !(v >= 90 && v <= 110) {
			return Scale{}, fault.Bad("printer-scale", "switch off fitting to the page, print again and measure the square again",
				"a printer that makes %s of 100%% does not print at full size", fmt.Sprintf("%.4g%%", v))
		}
		*f.to = v / 100
	}
	return s, nil
}

// Options say what the pattern is printed on.
type Options struct {
	Size Size
	// Margin is what the printer leaves blank along every side, in mm.
	Margin float64
	// Overlap is what neighbouring sheets have in common, in mm.
	Overlap float64
	// Scale is what the printer makes of a length.
	Scale Scale
	// Iron is the sole of the iron, its two sides in mm; zeros for no map of its
	// places. Press is the time in s that it rests on each.
	Iron  [2]float64
	Press float64
}

// The least that is left of a sheet for the pattern, in mm each way: the square of
// 4 in and the rulers must have room. And the bounds of an overlap, which paste
// needs.
const (
	leastRoom    = 115
	leastOverlap = 4
	mostSheets   = 400
)

// Check refuses options that leave no room, as a [fault.Input].
func (o Options) Check() error {
	w, h := o.Size.W-2*o.Margin, o.Size.H-2*o.Margin
	switch {
	case o.Margin < 0:
		return fault.Bad("print-margin", "give a length from 0mm", "a margin of %s is not possible", paths.Length(o.Margin).In(paths.Inches))
	case min(w, h) < leastRoom:
		return fault.Bad("print-margin", "give a smaller one, or larger paper", "a margin of %s leaves %.0f x %.0f mm of %s, and at least %d mm each way are needed",
			paths.Length(o.Margin).In(paths.Inches), max(w, 0), max(h, 0), o.Size.Name, leastRoom)
	case !(o.Overlap >= leastOverlap):
		return fault.Bad("overlap", fmt.Sprintf("give at least %dmm", leastOverlap), "sheets that share %s cannot be pasted together", paths.Length(o.Overlap).In(paths.Metric))
	case o.Overlap > min(w, h)/2:
		return fault.Bad("overlap", "give a smaller one", "an overlap of %s is more than half of what %s carries", paths.Length(o.Overlap).In(paths.Metric), o.Size.Name)
	}
	return nil
}
