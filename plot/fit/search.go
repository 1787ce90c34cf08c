package fit

import (
	"math"

	"weftplot/paths"
)

// A search looks for short ways along the points of one run. Ways go on from spot to spot
// in their order along it. From each, pieces are tried to the few spots that promise most:
// those whose numbers are short, and those that are far, as a piece of so many characters
// saves the more of the next the farther it reaches. Of the ways at any place only the few
// that promise most are followed.
type search struct {
	w          *work
	pts        []paths.Point
	tol, slack float64 // of the pieces, and of the spots, mm

	spots   []spot                // of the chords that were asked for
	of      [][2]int32            // which of them are those of each chord, none where they were not asked for yet
	reaches [][2*asides + 1]int32 // the point that a piece from each chord reaches, by its side; 0 where not asked for yet
	span    int                   // how far the last piece reached

	ends  []spot
	open  []*way // that have not gone on yet
	done  []*way // to each of the ends, nil where none was found
	piece []paths.Point
}

const (
	// beams is how many ways are followed at any place.
	beams = 3
	// hits is how many pieces from one place are looked for, and shots among how many spots.
	hits, shots = 5, 28
	// usual is about how many characters a piece takes. A little less counts for being
	// far, because short numbers are sure and what they leave of the way is not.
	usual, counted = 12, 10
	// further is what counts of being farther than a piece has to be for the run to be done
	// in as few, which is of use where a later one falls short only.
	further = 0.45
	// beside is what a spot as far off as may be costs in characters: the one piece reaches
	// less far for that than the other gains.
	beside = 2
	// alike is how many slacks apart two spots are taken to be as good for what follows.
	alike = 0.2
	// tight is the height in tolerances that the bows of a piece have at least if it is
	// taken to keep the tolerance until the way goes on.
	tight = 0.4
	// asides is how many places on either side of a point are told apart by their reach.
	asides = 2
)

// search returns the shortest ways found from those of the front along the points to each
// of the ends, nil where there is none.
func (w *work) search(pts []paths.Point, front []*way, ends []spot, tol float64) []*way {
	s := search{w: w, pts: pts, tol: tol, slack: besides * tol, ends: ends}
	s.of, s.reaches, s.done = make([][2]int32, len(pts)-1), make([][2*asides + 1]int32, len(pts)-1), make([]*way, len(ends))
	s.spots = w.spots[:0]
	if need := min(2*len(pts), 4096); cap(s.spots) < need {
		s.spots = make([]spot, 0, need)
	}
	for _, v := range front {
		v.to.chord = 0
		v.to.aside = max(-s.slack, min(s.slack, pts[1].Sub(pts[0]).Unit().Cross(v.to.at().Sub(pts[0]))))
		s.open = append(s.open, v)
	}
	for len(s.open) > 0 && !w.stopped() {
		if v := s.next(); !s.hopeless(v) && s.holds(v) {
			s.goOn(v)
		}
	}
	w.spots = s.spots
	return s.done
}

// next takes the way that has come least far from those that have not gone on.
func (s *search) next() *way {
	k, last := 0, len(s.open)-1
	for i, v := range s.open {
		if v.to.chord < s.open[k].to.chord {
			k = i
		}
	}
	v := s.open[k]
	s.open[k], s.open = s.open[last], s.open[:last]
	return v
}

// hopeless reports whether enough other ways promise more than v: they are so short for
// where a next piece reaches.
func (s *search) hopeless(v *way) bool {
	far, better := s.ahead(v), 0
	rate := usual / float64(far-v.to.chord)
	for _, o := range s.open {
		if o.size <= v.size+usual && float64(o.size-v.size) < rate*float64(s.ahead(o)-far) {
			better++
		}
	}
	return better >= beams || s.late(v)
}

// late reports whether a way to each of the ends is as short as v will be with another piece.
func (s *search) late(v *way) bool {
	const least = 9
	for _, d := range s.done {
		if d == nil || d.size > v.size+least {
			return false
		}
	}
	return true
}

// ahead returns the point that a piece from the end of v reaches, about. A piece that begins
// beside the points, on the one side reaches farther than on the other.
func (s *search) ahead(v *way) int {
	side := int(math.Round(v.to.aside/s.slack*asides)) + asides
	return s.reach(v.to.chord, side)
}

// reach returns the point that a piece from point i, or from its left or right, reaches,
// about. It begins with what the last one reached.
func (s *search) reach(i, side int) int {
	if s.reaches[i][side] > 0 {
		return int(s.reaches[i][side])
	}
	start := s.pts[i]
	if side != asides {
		start = start.Add(s.pts[i+1].Sub(start).Left().Unit().Mul(float64(side-asides) / float64(asides) * s.slack))
	}
	most := len(s.pts) - 1 - i
	good, bad := 1, most+1
	for span := min(max(s.span, 2), most); good+max(1, good/16) < bad; {
		if _, ok := bowsOver(start, s.pts[i+span], s.pts[i+1:i+span], s.tol); ok || span == 1 {
			good = span
		} else {
			bad = span
		}
		if bad > most {
			span = min(good+good/4+1, most)
		} else {
			span = (good + bad) / 2
		}
	}
	s.span, s.reaches[i][side] = good, int32(i+good)
	return i + good
}
