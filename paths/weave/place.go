package weave

import (
	"fmt"
	"math"
)

// choose sets the channel of every run of an axis. Runs in one set of tied share
// one.
func (s *snapper) choose(axis Axis, tied sets) {
	runs := s.runs[axis]
	if len(runs) == 0 {
		return
	}
	all := append(runs[:len(runs):len(runs)], s.fixedRuns(axis)...)
	pitch, step := s.grid.pitch(axis), s.grid.step(axis)
	items := make([]item, len(all))
	for i, r := range all {
		items[i] = item{
			stretch: stretch{r.mean / pitch, r.lo() / step, r.hi() / step},
			weight:  r.length() / step, fixed: r.fixed, channel: r.channel,
		}
		if r.fixed {
			items[i].weight = 0
			tied = append(tied, i)
		}
	}
	answer, ok := chosen{}, false
	if sym, is := symmetryOf(items); is {
		answer, ok = sym.chooseSymmetric(items, tied)
	}
	if !ok {
		answer = chooseChannels(items, tied, nil)
	}
	for i, r := range runs {
		r.channel = answer.channel[i]
	}
	s.warnPairs(axis, all, answer.crowded, "no-room-between-lines",
		"two lines %s the cloth, drawn %.1f channels apart, found no room to keep a channel between them")
	s.warnPairs(axis, all, answer.uneven, "spacing-uneven",
		"lines %s the cloth that are %.1f channels apart more than once could not all get the same count")
}

// mostWarned bounds the warnings of a kind: a design full of them has one cause.
const mostWarned = 10

// warnPairs warns of pairs of runs that could not be kept as they should.
func (s *snapper) warnPairs(axis Axis, runs []*run, pairs [][2]int, code, words string) {
	pitch := s.grid.pitch(axis)
	for n, p := range pairs {
		if n == mostWarned {
			s.warnings = append(s.warnings, Warning{code, fmt.Sprintf("and %d more like it", len(pairs)-n), s.warnings[len(s.warnings)-1].At})
			return
		}
		a, b := runs[p[0]], runs[p[1]]
		if a == b { // a line and its mirror image
			s.warnings = append(s.warnings, Warning{code, "a line " + directions[axis] +
				" the cloth near the middle of a symmetric design could not keep its count from its image", axis.point(a.mean, (a.lo()+a.hi())/2)})
			continue
		}
		mid := axis.point((a.mean+b.mean)/2, (max(a.lo(), b.lo())+min(a.hi(), b.hi()))/2)
		s.warnings = append(s.warnings, Warning{code,
			fmt.Sprintf(words, directions[axis], math.Abs(b.mean-a.mean)/pitch), mid})
	}
}
