package choice

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"weftplot/paths/cores"
	"weftplot/paths/near"
)

// MirrorSlack is how far a line may lie from its partner's mirror image, in
// channels, in a design that is meant to be symmetric.
const MirrorSlack = 0.02

// symmetry pairs the lines of a symmetric design.
type symmetry struct {
	centre  float64 // the place of the axis
	partner []int   // by line; its own on the axis
}

// symmetryOf looks for the axis that maps the lines onto themselves: it can only
// lie halfway between the outermost. Fixed lines do not count.
func symmetryOf(lines []Line) (symmetry, bool) {
	order := make([]int, 0, len(lines))
	for i, it := range lines {
		if !it.Fixed {
			order = append(order, i)
		}
	}
	if len(order) == 0 {
		return symmetry{}, false
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(lines[a].At, lines[b].At) })
	at := func(i int) float64 { return lines[order[i]].At }
	n := len(order)
	s := symmetry{(at(0) + at(n-1)) / 2, make([]int, len(lines))}
	for i := range s.partner {
		s.partner[i] = -1
	}
	free := near.NewUnused(n)
	for k, i := range order {
		if s.partner[i] >= 0 {
			continue
		}
		image := lines[i]
		image.At = 2*s.centre - image.At
		j := sort.Search(n, func(j int) bool { return at(j) >= image.At-MirrorSlack })
		for j = free.From(j); j < n && at(j) <= image.At+MirrorSlack; j = free.From(j + 1) {
			if o := order[j]; (o != i || math.Abs(at(j)-s.centre) <= MirrorSlack) && sameExtent(lines[o], image) {
				s.partner[i], s.partner[o] = o, i
				free.Take(k)
				free.Take(j)
				break
			}
		}
		if s.partner[i] < 0 {
			return symmetry{}, false
		}
	}
	return s, true
}

func sameExtent(a, b Line) bool {
	return math.Abs(a.Lo-b.Lo) <= MirrorSlack && math.Abs(a.Hi-b.Hi) <= MirrorSlack
}

// half returns the left half of what is given, with the axis moved to half of
// twice, fixed lines of both sides folded into it, and the index each line came
// from. Items on the axis are fixed there, which takes an even twice.
func (s symmetry) half(g Problem, twice int) (out Problem, from []int, ok bool) {
	lines := g.Lines
	place := make([]int, len(lines)) // by line, where its left half is in out
	shift := float64(twice)/2 - s.centre
	for i, it := range lines {
		place[i] = -1
		switch p := s.partner[i]; {
		case it.Fixed: // its distance from the others stays, wherever its channel is
			if it.At > s.centre {
				it.Channel, it.At = twice-it.Channel, 2*s.centre-it.At
			}
			it.At += shift
		case s.onAxis(i, it):
			if twice%2 != 0 || it.Named && 2*it.Channel != twice {
				return out, nil, false
			}
			it.Fixed, it.Channel, it.At = true, twice/2, float64(twice)/2
		case it.At > s.centre:
			place[i] = -1 - p // its partner's, when that is known
			continue
		default:
			it.At += shift
			if it, ok = withImage(it, lines[p], twice); !ok {
				return out, nil, false
			}
		}
		place[i] = len(out.Lines)
		out.Lines, from = append(out.Lines, it), append(from, i)
	}
	for i, p := range place {
		if p < 0 {
			place[i] = place[-1-p]
		}
	}
	out.centre, out.Stopped = &twice, g.Stopped
	if g.Room != nil {
		out.Room = &Span{max(g.Room.Lo, twice-g.Room.Hi), min(g.Room.Hi, twice-g.Room.Lo)}
	}
	out.Links = s.halfLinks(g, place)
	out.Figures = s.halfFigures(g, place)
	out.Tied, ok = s.halfTied(g, place, len(out.Lines))
	return out, from, ok
}

// halfTied returns which of the lines of the left half share a channel. It is not ok
// where a zigzag across the axis ties some of both sides.
func (s symmetry) halfTied(g Problem, place []int, lines int) (tied *near.Sets, ok bool) {
	tied = near.NewSets(lines)
	for i := range g.Tied.Len() {
		r := g.Tied.Find(i)
		if r == i {
			continue
		}
		if (g.Lines[i].At <= s.centre) != (g.Lines[r].At <= s.centre) {
			return nil, false
		}
		tied.Join(place[i], place[r])
	}
	return tied, true
}

// withImage returns a line of the left half that keeps what its image is to keep: its
// limits, and the channel that a person named. It is not ok where two names are at odds.
func withImage(it, image Line, twice int) (out Line, ok bool) {
	switch {
	case it.Within == nil && image.Within != nil:
		it.Within = &Span{twice - image.Within.Hi, twice - image.Within.Lo}
	case it.Within != nil && image.Within != nil:
		it.Within = &Span{max(it.Within.Lo, twice-image.Within.Hi), min(it.Within.Hi, twice-image.Within.Lo)}
	}
	switch {
	case it.Named && image.Named:
		return it, it.Channel+image.Channel == twice
	case image.Named:
		it.Named, it.Channel = true, twice-image.Channel
	}
	return it, true
}

// onAxis reports whether line i lies on the axis.
func (s symmetry) onAxis(i int, it Line) bool {
	return s.partner[i] == i || math.Abs(it.At-s.centre) <= MirrorSlack/2
}

// halfLinks returns the links as the left half sees them. One that crosses the
// axis is left out, unless it joins a line to its image: what it asks for
// follows from the others.
func (s symmetry) halfLinks(g Problem, place []int) (out []Link) {
	right := func(i int) bool { return g.Lines[i].At > s.centre && !s.onAxis(i, g.Lines[i]) }
	for _, l := range g.Links {
		a, b := place[l.A], place[l.B]
		switch {
		case !right(l.A) && !right(l.B):
			out = append(out, Link{a, b, l.Sure})
		case right(l.A) && right(l.B):
			out = append(out, Link{b, a, l.Sure})
		case a == b:
			out = append(out, Link{a, axisOf, l.Sure})
		}
	}
	return out
}

// chooseSymmetric returns the best channels that keep the symmetry. Twice the
// channel of the axis is one of the four whole numbers nearest to twice its place:
// the one that loses the fewest places and figures, then the cheapest. Where the fixed
// lines lie about the drawn axis too, one beside theirs comes last that loses some, or
// has sizes that recur from fixed lines on. Where they lie otherwise, and all four lose
// what need not be lost without symmetry, the axis is looked for farther off.
func (s symmetry) chooseSymmetric(g Problem) (best Answer, axis int, found bool) {
	low := int(math.Floor(2 * s.centre))
	of, lie := s.axisOfFixed(g.Lines)
	look := func(twices ...int) {
		answers, ok := make([]Answer, len(twices)), make([]bool, len(twices))
		cores.EachAsking(len(twices), g.Stopped, func(i int, stop func() bool) {
			own := g
			own.Tied, own.Stopped = g.Tied.Clone(), stop
			answers[i], ok[i] = s.about(own, twices[i])
		})
		for i, a := range answers {
			a.aside = lie && twices[i] != of && (a.lacks() > 0 || a.reachesFixed(g.Lines))
			if ok[i] && (!found || betterChoice(a, best)) {
				best, axis, found = a, twices[i], true
			}
		}
	}
	look(low, low+1, low-1, low+2)
	if !found || best.lacks() == 0 || lie {
		return best, axis, found
	}
	if free := chooseChannels(g); free.Refused != nil || free.lacks() >= best.lacks() {
		return best, axis, found
	}
	for d := 2; d <= farthestAxis && best.lacks() > 0; d++ {
		look(low-d, low+1+d)
	}
	return best, axis, found
}

// about returns the best channels that are symmetric about half of twice, if there are any.
func (s symmetry) about(g Problem, twice int) (a Answer, ok bool) {
	half, from, ok := s.half(g, twice)
	if !ok || g.stopped() {
		return a, false
	}
	left := chooseChannels(half)
	if left.Refused != nil {
		return a, false
	}
	return s.unfold(left, g.Lines, from, twice), true
}

// farthestAxis is how far, in half channels, an axis is looked for beside its place.
const farthestAxis = 8

// reachesFixed reports whether a size that recurs stands beside a fixed line.
func (a Answer) reachesFixed(lines []Line) bool {
	return slices.ContainsFunc(a.Recurring, func(e Recurring) bool {
		return slices.ContainsFunc(e.Places, func(p [2]int) bool { return lines[p[0]].Fixed || lines[p[1]].Fixed })
	})
}

// axisOfFixed returns twice the channel of the middle of the fixed lines, and whether
// the axis lies there as drawn.
func (s symmetry) axisOfFixed(lines []Line) (twice int, ok bool) {
	lo, hi := math.MaxInt, math.MinInt
	for _, it := range lines {
		if it.Fixed {
			lo, hi = min(lo, it.Channel), max(hi, it.Channel)
		}
	}
	if lo > hi {
		return 0, false
	}
	return lo + hi, math.Abs(float64(lo+hi)-2*s.centre) <= 2*MirrorSlack
}

func betterChoice(a, b Answer) bool {
	if a.aside != b.aside {
		return b.aside
	}
	if c := cmp.Compare(a.lacks(), b.lacks()); c != 0 {
		return c < 0
	}
	return a.Cost < b.Cost
}

// Misses returns how many places of sizes that recur are not as they should be, and pairs
// of lines not as far apart.
func (a Answer) Misses() int {
	n := len(a.Crowded)
	for _, e := range a.Recurring {
		n += len(e.Lost)
	}
	return n
}

// lacks returns how many places, pairs and figures are not as they should be.
func (a Answer) lacks() int { return a.Misses() + a.Unmet }

// unfold turns the answer for the left half into one for all.
func (s symmetry) unfold(a Answer, lines []Line, from []int, twice int) Answer {
	out := Answer{Channel: make([]int, len(lines)), Cost: 2 * a.Cost, Proved: a.Proved, Recurring: a.Recurring, Unmet: a.Unmet}
	for j, i := range from {
		if lines[i].Fixed {
			out.Channel[i] = lines[i].Channel
			continue
		}
		out.Channel[i] = a.Channel[j]
		out.Channel[s.partner[i]] = twice - a.Channel[j]
	}
	shift := float64(twice) - 2*s.centre
	for i, it := range lines {
		if !it.Fixed && s.partner[i] != i {
			out.Cost += it.Weight * shift * shift / 4
		} else if !it.Fixed {
			d := float64(twice)/2 - it.At
			out.Cost += it.Weight * d * d
		}
	}
	for _, p := range a.Crowded {
		out.Crowded = append(out.Crowded, [2]int{from[p[0]], from[p[1]]})
	}
	for _, d := range a.Crowds {
		out.Crowds = append(out.Crowds, s.unfoldCrowd(d, lines, from)...)
	}
	for i, e := range out.Recurring {
		out.Recurring[i] = s.unfoldPlaces(e, lines, from)
	}
	return out
}

// unfoldPlaces returns what came of a rhythm of the left half for all of the design:
// with the mirror images of its places.
func (s symmetry) unfoldPlaces(e Recurring, lines []Line, from []int) Recurring {
	out := e
	out.Places, out.Lost = nil, nil
	image := func(i int) int {
		if lines[i].Fixed {
			return i
		}
		return s.partner[i]
	}
	for j, p := range e.Places {
		a, b := from[p[0]], from[p[1]]
		if p[0] == p[1] { // across the axis
			b = s.partner[a]
		}
		copies := [][2]int{{a, b}}
		if i, j := image(b), image(a); p[0] != p[1] && (i != a || j != b) {
			copies = append(copies, [2]int{i, j})
		}
		for _, c := range copies {
			if slices.Contains(e.Lost, j) {
				out.Lost = append(out.Lost, len(out.Places))
			}
			out.Places = append(out.Places, c)
		}
	}
	return out
}

// unfoldCrowd returns a crowd of the left half and its mirror image, as one where
// they are less than a channel apart.
func (s symmetry) unfoldCrowd(d Crowd, lines []Line, from []int) []Crowd {
	var left, right Crowd
	for _, j := range d.Lines {
		i := from[j]
		left.Lines = append(left.Lines, i)
		if !lines[i].Fixed && s.partner[i] != i {
			right.Lines = append(right.Lines, s.partner[i])
		}
	}
	slices.Reverse(right.Lines)
	if len(right.Lines) == 0 || lines[right.Lines[0]].At-lines[left.Lines[len(left.Lines)-1]].At < 1 {
		return []Crowd{{append(left.Lines, right.Lines...)}}
	}
	return []Crowd{left, right}
}
