package carry

import (
	"sort"

	"weftplot/paths/weave/snap/web"
)

// Knot is a point of a straight: the coordinate that is fixed on a line of its axis,
// and the one along it, in mm.
type Knot struct{ Fixed, Along float64 }

// FixedAt returns the fixed coordinate of a line through knots where the other is v;
// beyond an end, the end's own.
func FixedAt(at []Knot, v float64) float64 {
	if v <= at[0].Along {
		return at[0].Fixed
	}
	if v >= at[len(at)-1].Along {
		return at[len(at)-1].Fixed
	}
	i := 1
	if len(at) > 2 {
		i = sort.Search(len(at), func(i int) bool { return at[i].Along > v })
	}
	a, b := at[i-1], at[i]
	return a.Fixed + (b.Fixed-a.Fixed)*(v-a.Along)/(b.Along-a.Along)
}

// Guide is a straight as a carrier sees it: a line through knots that goes to one place.
type Guide struct {
	At   []Knot  // in the order of Along
	Mean float64 // of the fixed coordinate, mm
	To   float64 // where it goes, mm
	Part int     // 1 + the number of the motif that it is a part of; 0 for none
	// Before and After are how far it reaches beyond its ends, in mm. Only is true for a
	// guide that is no straight: it holds the edge of a motif or of the room, and gives way
	// to straights.
	Before, After float64
	Only          bool
	Wall          bool // it is a side of the room
}

// noMotif is the part of a guide that belongs to no motif.
const noMotif = 0

// Lo is where the guide begins along its axis, in mm.
func (l *Guide) Lo() float64 { return l.At[0].Along }

// Hi is where it ends.
func (l *Guide) Hi() float64 { return l.At[len(l.At)-1].Along }

func (l *Guide) fixedAt(v float64) float64 { return FixedAt(l.At, v) }

// isLevel reports that a guide lies at one place at every height.
func (l *Guide) isLevel() bool {
	for _, k := range l.At {
		if k.Fixed != l.At[0].Fixed {
			return false
		}
	}
	return true
}

// roomBetween reports whether what lies between two guides keeps leastSlope of its
// width.
func roomBetween(a, b *Guide, v float64) bool {
	gap := b.fixedAt(v) - a.fixedAt(v)
	least := leastSlope * gap
	if a.Wall || b.Wall {
		least = 0
	}
	return gap > web.Joint && b.To-a.To >= least
}

// sameLevel reports whether b says nothing that a does not.
func sameLevel(a, b *Guide) bool {
	if a.Mean != b.Mean || a.To != b.To {
		return false
	}
	for _, l := range []*Guide{a, b} {
		for _, k := range l.At {
			if k.Fixed != a.At[0].Fixed {
				return false
			}
		}
	}
	return true
}
