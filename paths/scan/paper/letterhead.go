package paper

import (
	"cmp"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/near"
)

// A letterhead is small letters on straight lines, at the head or the foot of a sheet.
// Print stands on its line to less than a tenth of a mm, which a hand does not; the
// middles of round letters reach lower than those of stems. All in mm.
const (
	headMM, footMM = 55., 40. // how far from the upper and the lower edge it reaches
	letterMM       = 8.       // the greatest width and height of a letter
	onLineMM       = 0.08     // how far off its line a letter stands
	roundMM        = 0.4      // how much lower the round ones or the stems reach
	nextMM         = 12.      // the widest space between letters
	leastLetters   = 10       // on a line
	onLineShare    = 0.6      // of the letters of a line, those without descenders
	mostLetters    = 400      // more are no letterhead
	mostSlope      = 0.035    // of a line on a sheet that lies askew, 2 degrees
)

// letter is a mark as small as a letter: strokes that lie above each other.
type letter struct {
	strokes []int
	box     paths.Rect
	lined   bool
}

// Letterhead returns the numbers of the strokes that are print at the head or the foot of
// a page h mm high, in ascending order: lines of ten small marks at least, most of which
// stand on one straight line.
func Letterhead(strokes []paths.Stroke, h float64) []int {
	var out []int
	head := paths.Rect{Min: paths.Point{X: math.Inf(-1), Y: h - headMM}, Max: paths.Point{X: math.Inf(1), Y: h}}
	foot := paths.Rect{Min: paths.Point{X: math.Inf(-1)}, Max: paths.Point{X: math.Inf(1), Y: min(footMM, h-headMM)}}
	for _, zone := range []paths.Rect{head, foot} {
		letters := lettersIn(strokes, zone)
		if len(letters) > mostLetters {
			continue
		}
		for line := lineOf(letters); line != nil; line = lineOf(letters) {
			for _, l := range line {
				l.lined = true
				out = append(out, l.strokes...)
			}
		}
	}
	slices.Sort(out)
	return out
}

// lettersIn returns the letters that lie in a zone of the page, from the left.
func lettersIn(strokes []paths.Stroke, zone paths.Rect) []*letter {
	var small []*letter
	for i, s := range strokes {
		if len(s) == 0 {
			continue
		}
		box := s.Bounds()
		if max(box.Width(), box.Height()) <= letterMM && zone.Contains(box.Min) && zone.Contains(box.Max) {
			small = append(small, &letter{strokes: []int{i}, box: box})
		}
	}
	sets := near.NewSets(len(small))
	const close = 0.3
	for i, a := range small {
		for j, b := range small[:i] {
			if a.box.Min.X < b.box.Max.X && b.box.Min.X < a.box.Max.X && a.box.Min.Y < b.box.Max.Y+close && b.box.Min.Y < a.box.Max.Y+close {
				sets.Join(i, j)
			}
		}
	}
	var out []*letter
	for i, l := range small {
		if k := sets.Find(i); k != i {
			small[k].strokes = append(small[k].strokes, l.strokes...)
			small[k].box = paths.RectOf(small[k].box.Min, small[k].box.Max, l.box.Min, l.box.Max)
			continue
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b *letter) int { return cmp.Compare(a.box.Min.X, b.box.Min.X) })
	return out
}

// lineOf returns the longest line of letters that are in none yet, or nil.
func lineOf(letters []*letter) []*letter {
	var best []*letter
	for i, a := range letters {
		for _, b := range letters[i+1:] {
			dx, dy := b.box.Min.X-a.box.Min.X, b.box.Min.Y-a.box.Min.Y
			if a.lined || b.lined || dx < letterMM || math.Abs(dy) > mostSlope*dx {
				continue
			}
			if dx > 4*nextMM {
				break
			}
			if line := along(letters, a.box.Min, dy/dx); len(line) > len(best) {
				best = line
			}
		}
	}
	return best
}

// along returns the letters on the line through a place with a slope, without wide
// spaces, or nil where they are too few or too many stand off it.
func along(letters []*letter, at paths.Point, slope float64) []*letter {
	var line []*letter
	var off []float64
	for _, l := range letters {
		foot := at.Y + slope*(l.box.Min.X-at.X)
		if l.lined || l.box.Max.Y < foot || l.box.Min.Y > foot+letterMM/2 {
			continue
		}
		if n := len(line); n > 0 && l.box.Min.X-line[n-1].box.Max.X > nextMM {
			if l.box.Min.X > at.X {
				break
			}
			line, off = nil, nil
		}
		line, off = append(line, l), append(off, l.box.Min.Y-foot)
	}
	if on := onLine(off); on < leastLetters || float64(on) < onLineShare*float64(len(line)) {
		return nil
	}
	return line
}

// onLine returns how many of the letters that stand off a line by so much stand on it, or
// on the one other line near it on which most do.
func onLine(off []float64) int {
	slices.Sort(off)
	within := func(level float64) int {
		from, _ := slices.BinarySearch(off, level-onLineMM)
		to, _ := slices.BinarySearch(off, level+onLineMM)
		return to - from
	}
	most := 0
	for _, v := range off {
		if math.Abs(v) < roundMM && math.Abs(v) > 2*onLineMM {
			most = max(most, within(v))
		}
	}
	return within(0) + most
}
