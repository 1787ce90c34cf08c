package snap

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Named is a line whose channel a person says. It goes there however far it is, and
// what lies beside it makes room.
type Named struct {
	// Name is what the person calls the strokes, for messages.
	Name string
	// Strokes are the indices of those that the line is a part of. They have no other
	// line of the axis, unless all of them lie at one place.
	Strokes []int
	Axis    weave.Axis
	Channel int
}

// onePlace is how far apart, in channels, lines may lie that get one channel by name.
const onePlace = 0.5

// name finds the straights of an axis whose channels are said.
func (s *snapper) name(axis weave.Axis) error {
	s.named[axis] = map[*straight]int{}
	for _, n := range s.opt.Named {
		if n.Axis != axis {
			continue
		}
		of := map[int]bool{}
		for _, i := range n.Strokes {
			of[i] = true
		}
		var found []*straight
		for _, r := range s.straights[axis] {
			if of[r.stroke] {
				found = append(found, r)
			}
		}
		if err := n.check(found, s.grid.Pitch(axis)); err != nil {
			return err
		}
		for _, r := range found {
			if k, said := s.named[axis][r]; said && k != n.Channel {
				return fault.Bad("channel", "name one of them", "a line of %q cannot lie in channel %d and in channel %d", n.Name, k, n.Channel)
			}
			s.named[axis][r] = n.Channel
		}
	}
	return nil
}

// check refuses a name that is not that of one line.
func (n Named) check(found []*straight, pitch float64) error {
	if len(found) == 0 {
		return fault.Bad("channel", "name a layer with one straight line that way, whose lines go into channels",
			"%q has no line that runs %s the cloth and goes into a channel", n.Name, directions[n.Axis])
	}
	places := make([]float64, len(found))
	for i, r := range found {
		places[i] = r.mean / pitch
	}
	slices.Sort(places)
	if places[len(places)-1]-places[0] <= onePlace {
		return nil
	}
	var say []string
	for i, p := range places {
		if i > 0 && p-places[i-1] <= onePlace {
			continue
		}
		if len(say) == 5 {
			say = append(say, "…")
			break
		}
		say = append(say, fmt.Sprintf("%.1f", p))
	}
	return fault.Bad("channel", "put the line that you mean into a layer of its own",
		"%q has lines that run %s the cloth at several places, channels %s", n.Name, directions[n.Axis], strings.Join(say, ", "))
}

// A barred says what keeps a named line from its channel: another line, or, where that is
// the same one, the room.
type barred struct{ item, by int } // items

// bar notes that a bound between two variables, or of one and the room, cannot be kept.
// Without named lines that is want of room; with them it is the first reason that one of
// them cannot lie where it should.
func (c *chooser) bar(u, v int) {
	if c.answer.barred != nil {
		return
	}
	named, by := c.namedItem(u), v
	if named < 0 {
		named, by = c.namedItem(v), u
	}
	if named < 0 { // something pushed it there
		named, by = slices.IndexFunc(c.items, func(it item) bool { return it.named != nil }), v
	}
	if named < 0 {
		return
	}
	if c.answer.barred = (&barred{named, c.first[by]}); u == v {
		c.answer.barred.by = named
	}
}

// namedItem returns an item of a variable whose channel is said, -1 for none.
func (c *chooser) namedItem(b int) int {
	for i, it := range c.items {
		if it.named != nil && c.bundle[i] == b {
			return i
		}
	}
	return -1
}

// name limits each variable of a named line to its channel.
func (c *chooser) name(least, most []int) {
	by := make([]int, len(c.first)) // by variable, the item that settles it, +1
	for i, it := range c.items {
		k, b := it.settled(), c.bundle[i]
		if k == nil {
			continue
		}
		if j := by[b] - 1; j >= 0 && *c.items[j].settled() != *k {
			if c.answer.barred == nil && (it.named != nil || c.items[j].named != nil) {
				c.answer.barred = &barred{i, j}
				if it.named == nil {
					c.answer.barred = &barred{j, i}
				}
			}
			continue
		}
		by[b] = i + 1
		least[b], most[b] = *k, *k
	}
}

// farthestNamed returns how many channels lines are pushed by those that are named.
func (c *chooser) farthestNamed() int {
	far := 0.0
	for _, it := range c.items {
		if it.named != nil {
			far = max(far, math.Abs(float64(*it.named)-it.at)+1)
		}
	}
	return int(min(far, mostPushed))
}

// barred returns the fault of a named line that cannot lie in its channel.
func (s *snapper) barred(axis weave.Axis, all []*straight, b barred) error {
	k := s.named[axis][all[b.item]]
	why, other := "", all[b.by]
	switch named, is := s.named[axis][other]; {
	case b.by == b.item:
		room := s.opt.Room.span(axis)
		why = fmt.Sprintf("the border and the rows kept clear of it leave channels %d to %d to what hangs together with it", room.lo, room.hi)
	case other.fixed:
		why = fmt.Sprintf("a line of the border lies in channel %d", other.channel)
	case is:
		why = fmt.Sprintf("another is put into channel %d", named)
	default:
		why = fmt.Sprintf("the line drawn at channel %.1f finds no room beside it", other.mean/s.grid.Pitch(axis))
	}
	return fault.Bad("channel", "take another channel", "the line drawn at channel %.1f cannot lie in channel %d: %s", all[b.item].mean/s.grid.Pitch(axis), k, why)
}
