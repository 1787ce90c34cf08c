package snap

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/fault"
	"weftplot/paths/near"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
)

// channels is the choice of channels for an axis, and what came of it.
type channels struct {
	all []*straight // that the lines of the problem stand for
	choice.Problem
	choice.Answer
}

// choose finds the best channels for each axis, nil where it has no straights, both at
// once. Those in one set of tied share one.
func (s *snapper) choose(tied [2]*near.Sets) (out [2]*channels) {
	var axes []weave.Axis
	for _, axis := range []weave.Axis{weave.Across, weave.Along} {
		straights := s.straights[axis]
		if len(straights) == 0 {
			continue
		}
		all := append(straights[:len(straights):len(straights)], s.fixedStraights(axis)...)
		for range len(all) - len(straights) {
			tied[axis].Add()
		}
		p := choice.Problem{
			Lines: s.chosenLines(axis, all), Tied: tied[axis], Links: s.links(axis), Room: s.opt.Room.span(axis), Stopped: s.pause.now,
		}
		out[axis] = &channels{all: all, Problem: p}
		axes = append(axes, axis)
	}
	cores.EachAsking(len(axes), s.pause.now, func(i int, stop func() bool) {
		c := out[axes[i]]
		p := c.Problem
		p.Stopped = stop
		c.Answer = choice.Channels(p)
	})
	return out
}

// apply sets the channel of every straight of an axis as it was chosen.
func (s *snapper) apply(axis weave.Axis, c *channels) {
	all, answer := c.all, c.Answer
	if answer.Refused != nil {
		s.refuse(axis, all[answer.Refused.Line], *answer.Refused)
		return
	}
	if m := answer.Mirror; m != nil {
		pitch := s.grid.Pitch(axis)
		s.mirrors[axis] = &mirror{before: m.Before * pitch, after: float64(m.Twice) / 2 * pitch}
	}
	for i, r := range s.straights[axis] {
		r.channel = answer.Channel[i]
	}
	s.warnPairs(axis, all, answer.Crowded, "no-room-between-lines",
		"two lines %s the cloth, drawn %.1f channels apart, found no room to keep a channel between them")
	for _, d := range answer.Crowds {
		s.warnCrowd(axis, all, d)
	}
	s.tellRhythms(axis, c)
	s.tellUnequal(axis)
}

// warnCrowd tells of lines that share channels, as they stand too close for the cloth.
func (s *snapper) warnCrowd(axis weave.Axis, all []*straight, d choice.Crowd) {
	first, last := all[d.Lines[0]], all[d.Lines[len(d.Lines)-1]]
	channels := map[int]bool{}
	for _, i := range d.Lines {
		channels[all[i].channel] = true
	}
	wide := (last.mean - first.mean) / s.grid.Pitch(axis)
	s.warn("lines-share-channels", axis.Point((first.mean+last.mean)/2, (first.lo()+first.hi())/2),
		"%d lines %s the cloth stand closer together than its channels and share %d of them; about %.1f times as large, or on a finer backing, each would have its own",
		len(d.Lines), directions[axis], len(channels), float64(len(d.Lines)-1)/max(wide, 1))
}

// chosenLines returns the straights of an axis, and its fixed lines, as the choice of
// channels sees them.
func (s *snapper) chosenLines(axis weave.Axis, all []*straight) []choice.Line {
	pitch, step := s.grid.Pitch(axis), s.grid.Step(axis)
	lines := make([]choice.Line, len(all))
	for i, r := range all {
		l := choice.Line{Extent: extent(r.mean/pitch, r.lo()/step, r.hi()/step), Fixed: r.fixed, Channel: r.channel}
		if !r.fixed {
			l.Weight = r.length() / step
			l.Loose = s.opt.Loose != nil && s.opt.Loose(r.stroke)
			l.Within = s.within(axis, r)
			l.Named = r.named != nil
		}
		lines[i] = l
	}
	return lines
}

func extent(at, lo, hi float64) choice.Extent { return choice.Extent{At: at, Lo: lo, Hi: hi} }

// within returns the channels of the outermost straights of a motif that keep all of
// it in the room, when it moves as a whole; nil for others.
func (s *snapper) within(axis weave.Axis, r *straight) *choice.Span {
	room := s.opt.Room.span(axis)
	if room == nil {
		return nil
	}
	pitch := s.grid.Pitch(axis)
	m := &s.motifs[s.partOf[r.stroke]]
	out := *room
	if first := s.straights[axis][m.lines[axis][0]]; r.mean <= first.mean {
		lo, _ := axis.Split(m.box.Min)
		out.Lo = int(math.Ceil(float64(room.Lo) + (r.mean-lo)/pitch - wallSlack))
	}
	if last := s.straights[axis][m.lines[axis][len(m.lines[axis])-1]]; r.mean >= last.mean {
		hi, _ := axis.Split(m.box.Max)
		out.Hi = int(math.Floor(float64(room.Hi) - (hi-r.mean)/pitch + wallSlack))
	}
	return &out
}

// wallSlack is how far, in channels, a motif may be drawn beyond the room's side.
const wallSlack = 1e-6

// Named says in which channel the lines of an axis in some strokes are to lie. They are
// one line: where they lie at several places, they are refused.
type Named struct {
	Name    string                // what a person calls it, for errors
	Of      func(stroke int) bool // reports the strokes
	Axis    weave.Axis
	Channel int
	// Zero is the channel that a person counts as 0.
	Zero int
}

// noSuchLine returns the error of a named line that is not there: mostly the axis is the
// other one.
func (s *snapper) noSuchLine(n *Named) error {
	help := "draw one within [snap] of the weave, or leave this out"
	if slices.ContainsFunc(s.straights[1-n.Axis], func(r *straight) bool { return n.Of(r.stroke) }) {
		help = fmt.Sprintf("its lines run %s the cloth: write %s:%d for one of them", directions[1-n.Axis], 1-n.Axis, n.Channel)
	}
	return fault.Bad(n.Name, help, "it has no line %s the cloth that goes into a channel", directions[n.Axis])
}

// nameLines finds the lines that were named and gives them their channels.
func (s *snapper) nameLines() error {
	for i := range s.opt.Named {
		n := &s.opt.Named[i]
		var found []*straight
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, r := range s.straights[n.Axis] {
			if n.Of(r.stroke) {
				found = append(found, r)
				lo, hi = min(lo, r.mean), max(hi, r.mean)
			}
		}
		switch pitch := s.grid.Pitch(n.Axis); {
		case len(found) == 0:
			return s.noSuchLine(n)
		case hi-lo > choice.SameWidth*pitch:
			return fault.Bad(n.Name, "put the one line that is meant on a layer of its own",
				"it has %d lines %s the cloth, and they cannot all lie in channel %d: they are drawn at %.1f to %.1f channels",
				len(found), directions[n.Axis], n.Channel, lo/pitch-float64(n.Zero), hi/pitch-float64(n.Zero))
		}
		for _, r := range found {
			if r.named != nil && r.channel != n.Channel+n.Zero {
				return fault.Bad(n.Name, "leave one of the two out", "a line %s the cloth cannot lie in channel %d and in channel %d", directions[n.Axis], r.channel-n.Zero, n.Channel)
			}
			r.named, r.channel = n, n.Channel+n.Zero
		}
	}
	return nil
}

// refuse notes that a named line cannot lie in its channel.
func (s *snapper) refuse(axis weave.Axis, r *straight, why choice.Refusal) {
	n := r.named
	where := fmt.Sprintf("the channels %d to %d", why.Lo-n.Zero, why.Hi-n.Zero)
	if why.Lo == why.Hi {
		where = fmt.Sprintf("channel %d", why.Lo-n.Zero)
	}
	s.err = fault.Bad(n.Name, "name another channel, or move the line in the design",
		"its line %s the cloth, drawn at channel %.1f, cannot lie in channel %d: beside the lines round it there is room for it in %s",
		directions[axis], r.mean/s.grid.Pitch(axis)-float64(n.Zero), n.Channel, where)
}

// metLines returns the straights that lie as figures of diagonals need.
func (c *channels) metLines() map[*straight]bool {
	out := map[*straight]bool{}
	for _, f := range c.Figures {
		for _, n := range f.Spacings {
			if c.Channel[n.B]-c.Channel[n.A] == n.Count {
				out[c.all[n.A]], out[c.all[n.B]] = true, true
			}
		}
	}
	return out
}

// mirror is an upright or level axis of symmetry, before and after, mm.
type mirror struct{ before, after float64 }

// findMirrors keeps of the mirrors of the choice of channels those of the whole
// design, and finds which straights they turn end for end.
func (s *snapper) findMirrors() {
	for axis, m := range s.mirrors {
		if m != nil && !s.boxesMirror(weave.Axis(axis), m.before) {
			s.mirrors[axis] = nil
		}
	}
	for axis := range s.flips {
		if m := s.mirrors[1-axis]; m != nil && s.turnsOver(weave.Axis(axis), m.before) {
			s.flips[axis] = m
		}
	}
}

// boxesMirror reports whether the boxes of the motifs are their own mirror image
// about a line of an axis, mm.
func (s *snapper) boxesMirror(axis weave.Axis, middle float64) bool {
	boxes := make([]choice.Box, len(s.motifs))
	for n := range s.motifs {
		b := &boxes[n]
		b.At, b.Lo = axis.Split(s.motifs[n].box.Min)
		b.To, b.Hi = axis.Split(s.motifs[n].box.Max)
	}
	return choice.AreMirrored(boxes, middle, 2*choice.MirrorSlack*s.grid.Pitch(axis))
}

// turnsOver reports whether the straights of an axis are the same turned end for
// end about a middle, in mm, channels and all.
func (s *snapper) turnsOver(axis weave.Axis, middle float64) bool {
	runs := make([]choice.Run, len(s.straights[axis]))
	for i, r := range s.straights[axis] {
		runs[i] = choice.Run{Channel: r.channel, Extent: extent(r.mean, r.lo(), r.hi())}
	}
	return choice.TurnOver(runs, middle, choice.MirrorSlack*s.grid.Pitch(axis), choice.MirrorSlack*s.grid.Step(axis))
}

// tellRhythms notes what came of the sizes that recur.
func (s *snapper) tellRhythms(axis weave.Axis, c *channels) {
	pitch := s.grid.Pitch(axis)
	all, given := c.all, c.metLines()
	for _, e := range c.Recurring {
		r := Rhythm{Axis: axis, Size: e.Size, Count: e.Count, Places: len(e.Places), Lost: len(e.Lost), Other: e.Why == choice.OtherSizes}
		at := 0
		if len(e.Lost) > 0 {
			at = e.Lost[0]
		}
		for i, p := range e.Places {
			a, b := all[p[0]], all[p[1]]
			for _, x := range []*straight{a, b} {
				if x.fixed {
					continue
				}
				if x.evened = true; !given[x] {
					r.Moved = max(r.Moved, math.Abs(float64(x.channel)*pitch-x.mean)/pitch)
				}
			}
			if i == at {
				r.At = axis.Point((a.mean+b.mean)/2, (max(a.lo(), b.lo())+min(a.hi(), b.hi()))/2)
			}
		}
		s.rhythms = append(s.rhythms, r)
	}
}

// mostWarned bounds the warnings of a kind: a design full of them has one cause.
const mostWarned = 10

// warnPairs warns of pairs of straights that could not be kept as they should.
func (s *snapper) warnPairs(axis weave.Axis, straights []*straight, pairs [][2]int, code, words string) {
	pitch := s.grid.Pitch(axis)
	for n, p := range pairs {
		if n == mostWarned {
			s.warn(code, s.warnings[len(s.warnings)-1].At, "and %d more like it", len(pairs)-n)
			return
		}
		a, b := straights[p[0]], straights[p[1]]
		if a == b { // a line and its mirror image
			s.warn(code, axis.Point(a.mean, (a.lo()+a.hi())/2),
				"a line %s the cloth near the middle of a symmetric design could not keep its count from its image", directions[axis])
			continue
		}
		mid := axis.Point((a.mean+b.mean)/2, (max(a.lo(), b.lo())+min(a.hi(), b.hi()))/2)
		s.warn(code, mid, words, directions[axis], math.Abs(b.mean-a.mean)/pitch)
	}
}

// warn adds a warning about a place.
func (s *snapper) warn(code string, at paths.Point, format string, args ...any) {
	s.warnings = append(s.warnings, weave.Warning{Code: code, Message: fmt.Sprintf(format, args...), At: at})
}
