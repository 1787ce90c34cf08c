package acked

import (
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/device/timeline"
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/language"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// follower holds the places that a machine reports to the program's route. Lines
// carry no checksum, so a digit that turned into another is carried out as it
// comes; where the machine then goes gives it away.
type follower struct {
	route   timeline.Route
	heights language.Heights
	fastest float64 // mm/s

	// trusted tells that the machine was found once where it should be, on this
	// line; following that it was in this job, and heeded that its pen was: from
	// then on it is held to the program.
	trusted, following, heeded bool
	downIn                     int // the last stroke that the pen was seen down in
	doubts                     int // reports in a row that do not fit
	seen                       paths.Point
	seenAt                     time.Duration // when it was last found as it should be
	stray                      *flow.Stray   // what is known of one that was found off the route
	still                      rest
	haste                      haste
}

// rest is a machine that has not moved, but for a hair.
type rest struct {
	at    paths.Point
	heard time.Duration // when the first report that said so came
	last  time.Duration // when the last was asked for
	gap   time.Duration // the longest time from one look to the next
	idle  bool          // it had nothing to do: it stands through no fault of its own
}

// sighting is a status report at the time now, and what it is held against.
type sighting struct {
	answers.Reply
	at      paths.Point   // where the machine is, mm
	known   bool          // whether it says so
	asked   time.Duration // when it was asked for, or before
	now     time.Duration
	written int // offset of the text written so far
}

func newFollower(job flow.Job, t timeline.Timeline, h language.Heights) follower {
	s := job.Machine.Speed
	return follower{route: timeline.Route{Blocks: job.Program.Blocks, Timeline: t}, heights: h,
		fastest: float64(max(s.Draw, s.Travel))}
}

// moment returns how far the work has got once all that is written is done.
func (f *follower) moment(s sighting) timeline.Moment { return f.route.Timeline.At(s.written) }

// confirm notes that the machine, standing still, is where all that was written
// leads, with the pen as it should be.
func (f *follower) confirm(s sighting) {
	f.trusted, f.following, f.doubts, f.stray = true, true, 0, nil
	f.seen, f.seenAt = s.at, s.asked
	f.rested(s)
	f.route.Arrive(s.written)
	f.haste = haste{latest: f.route.Soonest(f.route.Block, 0), since: s.asked, idle: true, proved: f.route.Block, swift: f.haste.swift}
	if h, ok := f.heights.At(s.written); ok && s.HasZ && h.Is(s.Z) {
		f.heeded = true
		if m := f.moment(s); m.Down {
			f.downIn = m.Stroke
		}
	}
}

// judge judges a report from a moving machine. One that does not fit may
// itself be garbled, so it takes two: doubt is true for the first.
func (f *follower) judge(s sighting) (doubt bool, err error) {
	if !f.following || !s.known {
		return false, nil
	}
	block, along, ok := f.find(s)
	f.clock(block, ok, s)
	switch {
	case ok && f.hasty(block, along, s):
		return f.doubt(s, f.leftOut)
	case ok && (f.doubts > 0 || !f.jumped(s)):
		f.found(block, along, s)
		return false, f.moves(s)
	case s.at.Dist(f.seen) <= timeline.Tolerance: // it has not moved, nor need it have
		f.seenAt, f.doubts = s.asked, 0
		return false, f.moves(s)
	}
	return f.doubt(s, f.offRoute)
}

// doubt takes in a report that does not fit; the second in a row is the error.
func (f *follower) doubt(s sighting, wrong func(sighting) error) (doubt bool, err error) {
	if f.doubts++; f.doubts == 1 {
		return true, nil
	}
	return false, wrong(s)
}

// found notes where on the route a report was found.
func (f *follower) found(block int, along float64, s sighting) {
	if f.heeded && s.HasZ && f.route.Blocks[block].Kind == program.Draw && f.route.Between(block, s.at, along) {
		f.downIn = f.route.Timeline.Moments[block+1].Stroke
	}
	if block != f.route.Block {
		f.rested(s)
	}
	f.route.Block, f.route.Along = block, along
	f.seen, f.seenAt, f.doubts = s.at, s.asked, 0
	f.hurry(s)
}

// find looks for the place of a report on the route, with the pen as it should be.
func (f *follower) find(s sighting) (block int, along float64, ok bool) {
	return f.route.Find(s.at, s.written, func(block int, at paths.Point, along float64) bool {
		if !f.heeded || !s.HasZ || !f.route.Between(block, at, along) {
			return true
		}
		h, ok := f.heights.At(f.route.Timeline.Moments[block+1].End)
		return !ok || h.Is(s.Z)
	})
}

// A pen that moves less than a hair (mm) for too long (s), besides what the
// program has it stand, blots.
const (
	hair    = 0.05
	tooLong = 0.3
)

// moves returns an error when the machine is busy and yet the pen stands, or
// crawls, on the cloth: a wait or a feed was garbled.
func (f *follower) moves(s sighting) error {
	if s.at.Dist(f.still.at) > hair || f.still.idle || s.Doing != answers.Moving {
		f.rested(s)
		return nil
	}
	f.still.gap, f.still.last = max(f.still.gap, s.now-f.still.last), s.asked
	i := min(f.route.Block, len(f.route.Blocks)-1)
	m := f.route.Timeline.Moments
	if !m[i].Down && !m[i+1].Down && !f.lowersNext(i) {
		return nil
	}
	// The first look was made before its answer came, the last after it was asked for.
	if since := s.asked - f.still.heard; since.Seconds() < tooLong+f.standsFor(i)+f.roundFor(s) {
		return nil
	}
	f.stray = nil
	return &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("the pen stands on the cloth at %.2f, %.2f, where the program keeps it moving: a line was garbled on its way", s.at.X, s.at.Y),
		Do: "look at the cable"}
}

// rested notes where the machine is from when on it is watched for standing.
func (f *follower) rested(s sighting) {
	f.still = rest{at: s.at, heard: s.now, last: s.asked, idle: s.Doing != answers.Moving}
}

// lowersNext reports whether the pen is lowered before anything moves after block
// i.
func (f *follower) lowersNext(i int) bool {
	for k := i + 1; k < len(f.route.Blocks) && f.route.Blocks[k].Curve == nil; k++ {
		if f.route.Blocks[k].Kind == program.PenDown {
			return true
		}
	}
	return false
}

// standsFor returns how long, s, the machine may be about where block i is: over
// a hair's breadth of path, and over all that it does standing there, before and
// after.
func (f *follower) standsFor(i int) float64 {
	blocks, m := f.route.Blocks, f.route.Timeline.Moments
	took := 0.0
	add := func(k int) (length float64) {
		share := 1.0
		if c := blocks[k].Curve; c != nil {
			length = c.Length()
			share = min(1, 2*hair/max(length, hair))
		}
		took += share * (m[k+1].Seconds - m[k].Seconds)
		return length
	}
	add(i)
	for k, length := i+1, 0.0; k < len(blocks) && length <= 2*hair; k++ {
		length += add(k)
	}
	for k, length := i-1, f.route.Along; k >= 0 && length <= 2*hair; k-- {
		length += add(k)
	}
	return took
}

// roundFor returns how long, s, a machine that was at the same place at every look
// may have gone round a closed stroke between two of them, and stand where it ends.
func (f *follower) roundFor(s sighting) float64 {
	last, ok := f.route.Round(s.at, s.written, f.canDraw(f.still.gap))
	if !ok {
		return 0
	}
	m, end := f.route.Timeline.Moments, last+1
	for end < len(f.route.Blocks) && f.route.Blocks[end].Curve == nil {
		end++
	}
	return (f.still.gap + busySlip).Seconds() + m[end].Seconds - m[last+1].Seconds
}

// jumped reports whether the machine cannot have come from where it was last
// seen: the report is garbled, or the machine counts from elsewhere now.
func (f *follower) jumped(s sighting) bool {
	return s.at.Dist(f.seen) > 1+f.fastest*(s.now-f.seenAt+busySlip).Seconds()
}

// nearHome is how near to its own 0,0 a machine off the route is taken to have
// restarted, mm.
const nearHome = 5

// cameFromNowhere reports whether a machine stands at its own 0,0 although it was
// last seen too far away to have gone there unseen: it counts anew from where it
// is.
func (f *follower) cameFromNowhere(s sighting) bool {
	const unseen = 0.3 // s
	return f.following && s.known && s.at.Len() < nearHome && s.at.Dist(f.seen) > nearHome+unseen*f.fastest
}

// offRoute is the error of a machine that is where the program does not lead.
func (f *follower) offRoute(s sighting) error {
	m := f.route.Timeline.Moments
	block := min(f.route.Block, len(f.route.Blocks)-1)
	down := m[block].Down || m[block+1].Down
	what := fmt.Sprintf("the machine is at %.2f, %.2f, where the program does not lead it", s.at.X, s.at.Y)
	if f.onRoute(s) {
		what = fmt.Sprintf("the pen of the machine is not as the program has it at %.2f, %.2f", s.at.X, s.at.Y)
		down = true
	}
	f.stray = &flow.Stray{Last: f.seen, When: f.seenAt, Down: down, Lost: f.jumped(s) || s.at.Len() < nearHome}
	return &fault.Error{Kind: flow.Garbled, What: what + ": a line was garbled on its way, or the machine has restarted or lost steps",
		Do: "look at the cable, keep it away from motors, and see that nothing is in the way"}
}

// onRoute reports whether the place of a report is on the route, whatever the
// pen does there.
func (f *follower) onRoute(s sighting) bool {
	_, _, ok := f.route.Find(s.at, s.written, func(int, paths.Point, float64) bool { return true })
	return ok
}

// atRest returns an error when the machine, with nothing left to do, does not
// stand where all that was written leads, or not with its pen so.
func (f *follower) atRest(s sighting) error {
	m := f.moment(s)
	h, heightKnown := f.heights.At(s.written)
	const slack = 0.05 // mm: reports are rounded, and to steps of the motors
	what := ""
	switch {
	case s.known && m.Moved && s.at.Dist(m.At) > slack:
		what = fmt.Sprintf("the machine stands at %.2f, %.2f and not at %.2f, %.2f", s.at.X, s.at.Y, m.At.X, m.At.Y)
	case f.heeded && heightKnown && s.HasZ && !h.Is(s.Z):
		what = fmt.Sprintf("the pen stands at height %.2f and not at %.2f", s.Z, h.Z)
	case f.following && f.hasty(f.arrived(s), 0, s):
		return f.leftOut(s)
	default:
		return nil
	}
	// Anything that was written since the machine was last seen may be drawn.
	seen := f.route.Timeline.Moments[min(f.route.Block, len(f.route.Blocks))]
	f.stray = &flow.Stray{Last: f.seen, When: f.seenAt, Down: m.Down || m.Drawn > seen.Drawn,
		Lost: f.jumped(s) || s.at.Len() < nearHome && m.At.Len() > nearHome}
	return &fault.Error{Kind: flow.Garbled, What: what + ": a line was garbled on its way or lost, or the machine has restarted",
		Do: "look at cable and power"}
}

// strayed returns what is known of a stray line once the machine was halted and
// stood, at a time: the one that it was halted for, or one that it drew until
// then, as when it went on after a line that it refused.
func (f *follower) strayed(s sighting, stood time.Duration) *flow.Stray {
	if f.stray == nil && f.following && s.known && !f.onRoute(s) {
		_ = f.offRoute(s)
	}
	if f.stray != nil {
		f.stray.Until = stood
	}
	return f.stray
}

// fewMoves is how many moves may be left to do when the lines in a controller are
// counted anew: one that is so near its end has taken all of them out of its
// buffer.
const fewMoves = 3

// nearEnd reports whether little is left to do of what was written before an
// offset: a few moves, or less than the line needs to bring more.
func (f *follower) nearEnd(written int, refill time.Duration) bool {
	m := f.route.Timeline.Moments
	left := 0
	for i := f.route.Block + 1; i < len(f.route.Blocks) && m[i+1].End <= written; i++ {
		left++
	}
	toDo := flow.Seconds(f.route.Timeline.At(written).Seconds - m[min(f.route.Block+1, len(f.route.Blocks))].Seconds)
	return left <= fewMoves || toDo <= refill
}

// lookLength is how far a drawing pen goes between two looks at where it is, mm,
// as far as the line can afford so many.
const lookLength = 0.8

// How long it is from one question for the status to the next.
const (
	looksApart = 20 * time.Millisecond  // no controller is asked more often
	looksApace = 100 * time.Millisecond // nor less, on a line that can afford it
	reportSize = 40                     // bytes of a status report, about
)

// looksEvery is how long after a look at a machine that is followed the next is
// due. No more than a quarter of the line goes to the answers.
func looksEvery(s profiles.SpeedLimits, perByte time.Duration) time.Duration {
	apart := flow.Seconds(lookLength / float64(s.Draw))
	return max(min(max(apart, looksApart), looksApace), 4*reportSize*perByte)
}
