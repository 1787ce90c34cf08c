package language

import (
	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Fits returns nil if m can be given p: it reads the language, the program does
// not say that it was made for another machine, and nothing leaves the area that
// the pen reaches by more than the language's finest step. Else it returns a
// [fault.Error], of kind Fit for the area; where names the program in it, and
// may be empty.
//
// HP-GL/2 contains HP-GL, but not the other way round.
func Fits(where string, p program.Program, m profiles.Machine) error {
	if err := Reads(where, p, m); err != nil {
		return err
	}
	reach, all := m.Reach(), program.Total(p).Reach
	if all.IsEmpty() {
		return nil
	}
	over := max(reach.Min.X-all.Min.X, reach.Min.Y-all.Min.Y, all.Max.X-reach.Max.X, all.Max.Y-reach.Max.Y)
	if over > m.Step() {
		return fault.TooBig(where, "move or shrink the job, or choose a machine that reaches so far",
			"the program leaves the area of %q by %.2f mm", m.Name, over)
	}
	return nil
}

// Reads is the part of [Fits] that does not ask how far the program reaches, for
// one that is looked at and not sent.
func Reads(where string, p program.Program, m profiles.Machine) error {
	const do = "choose the machine that the program was prepared for, or prepare it for this one"
	made := profiles.Language(p.Language)
	if (made == profiles.GCode) != (m.Language == profiles.GCode) || made == profiles.HPGL2 && m.Language == profiles.HPGL {
		return fault.Bad(where, do, "the program is in %s, and the machine %q reads %s", Spelled(made), m.Name, Spelled(m.Language))
	}
	if p.Machine != "" && p.Machine != m.Name {
		return fault.Bad(where, do, "the program was prepared for the machine %q, not for %q", p.Machine, m.Name)
	}
	return nil
}

// Spelled returns a language as people write it.
func Spelled(l profiles.Language) string {
	switch l {
	case profiles.GCode:
		return "G-code"
	case profiles.HPGL:
		return "HP-GL"
	case profiles.HPGL2:
		return "HP-GL/2"
	}
	return string(l)
}
