package order

import "weftplot/paths/fault"

// Effort says how long [Order] looks for a shorter tour. It is counted in
// steps, not in seconds, so that the same input gives the same tour.
type Effort int

const (
	// Normal is the default: the time it takes is a small part of the drawing's.
	Normal Effort = iota
	// Quick is for looking at a result while a design is being changed.
	Quick
	// Thorough is for a pattern that is drawn many times.
	Thorough
)

var effortNames = [...]string{Normal: "normal", Quick: "quick", Thorough: "thorough"}

// ParseEffort reads "quick", "normal" or "thorough".
func ParseEffort(s string) (Effort, error) {
	for e, name := range effortNames {
		if s == name {
			return Effort(e), nil
		}
	}
	return 0, fault.Bad("effort", "say quick, normal or thorough", "%q is no effort", s)
}

// String returns the word that [ParseEffort] reads.
func (e Effort) String() string {
	if e < 0 || int(e) >= len(effortNames) {
		return "none"
	}
	return effortNames[e]
}
