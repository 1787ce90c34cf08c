package acked

import (
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/device/timeline"
	"weftplot/paths/fault"
	"weftplot/plot/program"
)

// haste is what tells whether a machine left out part of its program: how far
// along it can have been at the most.
type haste struct {
	latest float64       // the time of that place, as timeline.Route.Soonest has it, s
	since  time.Duration // when the machine was there
	idle   bool          // it had nothing left to do, and was given nothing since
	proved int           // the block before which all is known to be done
	swift  float64       // how many times as fast as its feed it was seen to draw lately
}

// busySlip is how much later or earlier than its question a place may be that a
// busy controller reports.
const busySlip = 50 * time.Millisecond

// clock notes how many times as fast as its feed a machine is seen to draw.
func (f *follower) clock(block int, ok bool, s sighting) {
	const forget = 0.9 // of what was seen, at each sighting
	f.haste.swift *= forget
	took := (s.now - f.seenAt).Seconds()
	if !ok || took <= 0 || block < f.route.Block {
		return
	}
	for _, b := range f.route.Blocks[f.route.Block : block+1] {
		if b.Kind == program.Travel {
			return
		}
	}
	if b := f.route.Blocks[block]; b.Kind == program.Draw && b.Feed > 0 {
		f.haste.swift = max(f.haste.swift, s.at.Dist(f.seen)/took/b.Feed)
	}
}

// turnedUp is how many times its feed a machine may draw with when a person has
// turned the feed up at it (common practice).
const turnedUp = 2

// canDraw returns how far along the route a machine can draw in a time, as
// timeline.Route.Soonest has it: with the feed turned up, or with the time of its
// reports a little wrong.
func (f *follower) canDraw(in time.Duration) float64 {
	return max(turnedUp/timeline.Swiftest*in.Seconds(), max(1, f.haste.swift)*(in+busySlip).Seconds())
}

// mayHaveDone returns the latest time along the route, as timeline.Route.Soonest has
// it, that the machine can have come to by a report.
func (f *follower) mayHaveDone(s sighting) float64 {
	return f.haste.latest + f.canDraw(s.now-f.haste.since)
}

// hasty reports whether a machine is at a place of its route sooner than it can
// have drawn the way there.
func (f *follower) hasty(block int, along float64, s sighting) bool {
	return f.route.Soonest(block, along) > f.mayHaveDone(s)
}

// hurry notes how far along the route a machine that was found on it may be.
func (f *follower) hurry(s sighting) {
	f.haste.latest = f.route.Latest(s.at, s.written, f.mayHaveDone(s))
	f.haste.since, f.haste.idle = s.asked, false
}

// idles takes in a report of a machine that has nothing left to do of what it was
// given some time ago. One that had nothing before has done nothing since.
func (f *follower) idles(s sighting) {
	if !f.following || !s.known {
		return
	}
	if block, along, ok := f.find(s); ok && !f.haste.idle && !f.hasty(block, along, s) {
		f.route.Block, f.route.Along = block, along
		f.hurry(s)
	}
	if s.at.Dist(f.seen) <= timeline.Tolerance {
		f.haste.since, f.haste.idle = s.asked, true
	}
}

// given notes that a line of the program was written.
func (f *follower) given(now time.Duration) {
	if f.haste.idle {
		f.haste.since, f.haste.idle = now, false
	}
}

// leftOut is the error of a machine that is farther along its program than it can
// have come.
func (f *follower) leftOut(s sighting) error {
	f.stray = &flow.Stray{Last: s.at, When: s.asked}
	return &fault.Error{Kind: flow.Garbled, What: fmt.Sprintf("the machine is at %.2f, %.2f sooner than it can have drawn all that leads there: a line was garbled on its way or lost", s.at.X, s.at.Y),
		Do: "look at the cable, keep it away from motors"}
}

// untold returns an error when answers are missing and nothing tells whether all
// that was written is drawn.
func (f *follower) untold(s sighting) error {
	if !f.route.ClosedInABlink(f.haste.proved, s.written, 3*busySlip.Seconds()) {
		return nil
	}
	f.stray = &flow.Stray{Last: s.at, When: s.asked}
	return &fault.Error{Kind: flow.Garbled, What: "answers are missing, and a small closed stroke may not be drawn: a line or its answer was lost on the way",
		Do: "look at the cable, keep it away from motors"}
}

// arrived returns the first block that is not done when all that was written is.
func (f *follower) arrived(s sighting) int {
	r := f.route
	r.Arrive(s.written)
	return r.Block
}
