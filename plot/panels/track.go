package panels

import (
	"math"
	"slices"

	"weftplot/paths"
)

// A track is a stroke with the distances along it, in mm.
type track struct {
	paths.Stroke
	far    []float64 // where each curve begins, and the length at last
	closed bool
}

func newTrack(s paths.Stroke) track {
	t := track{Stroke: s, far: make([]float64, len(s)+1), closed: s.IsClosed()}
	for i, c := range s {
		t.far[i+1] = t.far[i] + c.Length()
	}
	return t
}

func (t track) length() float64 { return t.far[len(t.Stroke)] }

// place returns the curve and its parameter at a distance, which a closed track takes round.
func (t track) place(at float64) (curve int, u float64) {
	if t.closed {
		if at = math.Mod(at, t.length()); at < 0 {
			at += t.length()
		}
	}
	i, found := slices.BinarySearch(t.far, at)
	if !found {
		i--
	}
	i = min(max(i, 0), len(t.Stroke)-1)
	return i, paths.ParamAt(t.Stroke[i], at-t.far[i])
}

// distance returns how far along the track a place is.
func (t track) distance(curve int, u float64) float64 {
	switch {
	case u <= 0:
		return t.far[curve]
	case u >= 1:
		return t.far[curve+1]
	}
	if _, isCubic := t.Stroke[curve].(paths.Cubic); !isCubic {
		return t.far[curve] + u*(t.far[curve+1]-t.far[curve])
	}
	return t.far[curve] + paths.Sub(t.Stroke[curve], 0, u).Length()
}

// piece returns the track from one distance to another. That of a closed one may go on
// through its start.
func (t track) piece(from, to float64) paths.Stroke {
	if t.closed && to > t.length() {
		if from >= t.length() {
			return t.piece(from-t.length(), to-t.length())
		}
		return slices.Concat(t.piece(from, t.length()), t.piece(0, to-t.length()))
	}
	if from <= 0 && to >= t.length() {
		return t.Stroke
	}
	var out paths.Stroke
	for i, c := range t.Stroke {
		if t.far[i+1] <= from || t.far[i] >= to {
			continue
		}
		u0, u1 := paths.ParamAt(c, from-t.far[i]), paths.ParamAt(c, to-t.far[i])
		if u1 > u0 {
			out = append(out, paths.Sub(c, u0, u1))
		}
	}
	return out
}

// A stretch is a part of a track, in mm along it. Of a closed track hi may exceed the length.
type stretch struct{ lo, hi float64 }

// within returns the stretches of a track in a window, rising.
func (t track) within(w paths.Rect) []stretch {
	var out []stretch
	for i, c := range t.Stroke {
		for _, s := range paths.Within(c, w) {
			lo, hi := t.distance(i, s.From), t.distance(i, s.To)
			if last := len(out) - 1; last >= 0 && lo-out[last].hi < 1e-9 {
				out[last].hi = hi
				continue
			}
			out = append(out, stretch{lo, hi})
		}
	}
	if last := len(out) - 1; t.closed && last > 0 && out[0].lo <= 1e-9 && out[last].hi >= t.length()-1e-9 {
		out[last].hi = t.length() + out[0].hi
		out = out[1:]
	}
	return out
}
