package job

import (
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/paper"
	"weftplot/profiles"
)

// NoMachine is the machine of a job without a program: the pattern goes onto paper
// by a printer, or is only looked at.
const NoMachine = "none"

// Who draws the border.
const (
	BorderOnMachine = "machine" // with the rest
	BorderOnCloth   = "cloth"   // a person, on the cloth, along its channels
)

// HasMachine reports whether the job has programs.
func (s Settings) HasMachine() bool { return s.Machine != NoMachine }

// noMachine stands for the machine of a job without one.
func noMachine() profiles.Machine { return profiles.Machine{Name: NoMachine} }

// Paper is how the pattern goes onto paper.
type Paper struct {
	paper.Options
	Width float64 // of the printed lines, in mm
	Grey  float64 // of the printed lines; 0 is black
}

// usualOverlap is what neighbouring sheets share where nothing is said.
const usualOverlap paths.Length = 15

// pressTime is how long an iron rests on a place, in s (common practice).
const pressTime = 25

// How wide and how dark lines are printed (common practice): a line under cloth must
// be seen through it, and one that a transfer pen goes over must not hide that pen.
var printed = map[Transfer]Paper{
	Direct:  {Width: 0.5},
	Tracing: {Width: 0.8},
	IronOn:  {Width: 0.4, Grey: 0.4},
}

// Paper reads the settings of paper; ok is false where none is asked for. A value that
// is not possible is a [fault.Input].
func (s Settings) Paper() (p Paper, ok bool, err error) {
	p = printed[s.Transfer]
	if s.Print != "" {
		if p.Size, err = paper.ParseSize(s.Print); err != nil {
			return Paper{}, false, err
		}
	}
	p.Scale, p.Overlap, p.Margin, p.Press = paper.Unit, float64(or(s.Overlap, usualOverlap)), p.Size.Margin, pressTime
	if s.PrinterScale != "" {
		if p.Scale, err = paper.ParseScale(s.PrinterScale); err != nil {
			return Paper{}, false, err
		}
	}
	if s.PrintMargin != "" {
		m, err := paths.ParseLength(s.PrintMargin)
		if err != nil {
			return Paper{}, false, fault.At("print-margin", err)
		}
		p.Margin = float64(m)
	}
	if s.PrintLine > 0 {
		p.Width = float64(s.PrintLine)
	}
	if s.PrintGrey > 0 {
		p.Grey = s.PrintGrey / 100
	}
	if p.Iron, err = s.iron(); err != nil {
		return Paper{}, false, err
	}
	if s.Print == "" {
		return Paper{}, false, nil
	}
	return p, true, p.Check()
}

// householdIron is the sole of a common iron (from memory).
const householdIron = "4x8in"

// iron reads the sole of the iron: two sides, such as "4x8in". Without one a
// household iron is meant, where the pattern is ironed on.
func (s Settings) iron() ([2]float64, error) {
	text := s.Iron
	switch {
	case text == "none", text == "" && s.Transfer != IronOn:
		return [2]float64{}, nil
	case text == "":
		text = householdIron
	}
	a, b, two := strings.Cut(text, "x")
	long, err := paths.ParseLength(b)
	if !two || err != nil {
		return [2]float64{}, fault.Bad("iron", `give the sole's two sides, such as "4x8in", or none`, "%q is no size of an iron", text)
	}
	short, err := paths.ParseLength(a)
	if err != nil {
		short, err = paths.ParseLength(a + strings.TrimLeft(b, "0123456789.-/ "))
	}
	if err != nil || short < 20 || long < 20 || short > 1000 || long > 1000 {
		return [2]float64{}, fault.Bad("iron", `give the sole's two sides, from 2cm to 1m, such as "4x8in", or none`, "%q is no size of an iron", text)
	}
	return [2]float64{float64(short), float64(long)}, nil
}
