package snap

import (
	"fmt"
	"math"
	"weftplot/paths"
	"weftplot/paths/near"
	"weftplot/paths/weave"
)

// choose sets the channel of every straight of an axis. Those in one set of tied share
// one.
func (s *snapper) choose(axis weave.Axis, tied *near.Sets) {
	straights := s.straights[axis]
	if len(straights) == 0 {
		return
	}
	all := append(straights[:len(straights):len(straights)], s.fixedStraights(axis)...)
	pitch, step := s.grid.Pitch(axis), s.grid.Step(axis)
	items := make([]item, len(all))
	for i, r := range all {
		items[i] = item{
			extent: extent{r.mean / pitch, r.lo() / step, r.hi() / step},
			weight: r.length() / step, fixed: r.fixed, channel: r.channel,
		}
		if r.fixed {
			items[i].weight = 0
			tied.Add()
		}
	}
	answer, ok := chosen{}, false
	if sym, is := symmetryOf(items); is {
		answer, ok = sym.chooseSymmetric(items, tied, s.pause)
	}
	if !ok {
		answer = chooseChannels(items, tied, nil, s.pause)
	}
	for i, r := range straights {
		r.channel = answer.channel[i]
	}
	s.warnPairs(axis, all, answer.crowded, "no-room-between-lines",
		"two lines %s the cloth, drawn %.1f channels apart, found no room to keep a channel between them")
	s.warnPairs(axis, all, answer.uneven, "spacing-uneven",
		"lines %s the cloth that are %.1f channels apart more than once could not all get the same count")
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
