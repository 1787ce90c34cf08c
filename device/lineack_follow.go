package device

import (
	"fmt"
	"time"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/plot/program"
)

// A line carries no checksum, so a digit that turned into another is done as it
// comes. What gives it away is where the machine then goes: it is asked for its
// place many times a second and held to the program's way.

// straying is what is known of a machine that was found off its way.
type straying struct {
	last  paths.Point   // where it was last seen on its way
	when  time.Duration // and when
	until time.Duration // when it stood
	down  bool          // whether the pen may have been down since
	lost  bool          // whether it no longer knows its place
}

// lookLength is how far a drawing pen goes between two looks at where it is, mm,
// as far as the line can afford so many.
const lookLength = 0.8

const (
	looksApart = 20 * time.Millisecond  // no controller is asked more often
	looksApace = 100 * time.Millisecond // nor less, on a line that can afford it
	reportSize = 40                     // bytes of a status report, about
)

// lookEvery is how long after a look at where the machine is the next is due. No
// more than a quarter of the line goes to the answers.
func (l *lineAck) lookEvery() time.Duration {
	if l.idles > 0 {
		return pollAgain
	}
	if !l.following {
		return pollEvery
	}
	apart := seconds(lookLength / float64(l.job.Machine.Speed.Draw))
	return max(min(max(apart, looksApart), looksApace), 4*reportSize*l.w.perByte)
}

// sees reports whether the machine tells its place, and its pen is moved by Z and
// was found as it should be.
func (l *lineAck) sees() (place, pen bool) {
	_, known := l.where()
	place = l.live && known
	return place, place && l.heeded
}

// seeDown waits for a look that finds the pen down in the stroke. One so brief
// that it is all drawn before that is looked at where it ends. When no answer
// comes it does not wait much longer than until: the pen would rest.
func (l *lineAck) seeDown(stroke int, until time.Duration) error {
	idle := func() bool { return l.status.state == "idle" && l.of > l.gone }
	err := l.await(func() bool { return l.downIn >= stroke || idle() || l.w.now() > until+patientAfter })
	if err != nil || l.downIn >= stroke || !idle() {
		return err
	}
	return l.settle()
}

const patientAfter = 200 * time.Millisecond

// trust says that the machine stands where the program takes it to.
func (l *lineAck) trust() { l.trusted = true }

// confirm notes that the machine, standing still, is where all that was written
// leads, with the pen as it should be.
func (l *lineAck) confirm() {
	at, _ := l.where()
	l.trusted, l.following, l.doubts, l.stray = true, true, 0, nil
	l.seen, l.seenAt, l.counted = at, l.of, l.w.now()
	l.rested(at)
	l.way.arrive(l.last)
	m := l.course.at(l.last)
	if h, ok := l.heights.at(l.last); ok && l.status.hasZ && h.is(l.status.z) {
		l.heeded = true
		if m.down {
			l.downIn = m.stroke
		}
	}
}

// follow judges a report from a machine under way. One that does not fit may
// itself be garbled, so it takes two.
func (l *lineAck) follow() error {
	at, known := l.where()
	if !l.following || !known {
		return nil
	}
	block, along, ok := l.way.see(at, l.last, l.penFits)
	if ok && (l.doubts > 0 || !l.jumped(at)) {
		if l.heeded && l.status.hasZ && l.way.blocks[block].Kind == program.Draw && l.way.between(block, at, along) {
			l.downIn = l.course.marks[block+1].stroke
		}
		if block != l.way.block {
			l.rested(at)
		}
		l.way.block, l.way.along = block, along
		l.seen, l.seenAt, l.doubts = at, l.of, 0
		return l.moves(at)
	}
	if at.Dist(l.seen) <= offWay { // it has not moved, nor need it have
		l.seenAt, l.doubts = l.of, 0
		return l.moves(at)
	}
	if l.doubts++; l.doubts == 1 {
		return l.ask()
	}
	return l.offCourse(at)
}

// A pen that moves less than a hair (mm) in the rest (s) that is too long, besides
// what the program has it stand, blots.
const (
	hair    = 0.05
	tooLong = 0.3
)

// moves returns an error when the machine is busy and yet the pen stands, or
// crawls, on the cloth: a wait or a feed was garbled.
func (l *lineAck) moves(at paths.Point) error {
	if at.Dist(l.rests) > hair || l.status.state != "run" {
		l.rested(at)
		return nil
	}
	i := min(l.way.block, len(l.way.blocks)-1)
	if !l.course.marks[i].down && !l.course.marks[i+1].down && !l.downNext(i) {
		return nil
	}
	// Questions and answers may both have been late.
	if since := min(l.of-l.restsAt, l.w.now()-l.restsSeen); since.Seconds() < tooLong+l.stands(i) {
		return nil
	}
	l.stray = nil
	return &fault.Error{Kind: Garbled, What: fmt.Sprintf("the pen stands on the cloth at %.2f, %.2f, where the program keeps it moving: a line was garbled on its way", at.X, at.Y),
		Do: "look at the cable; then go on from what is proved drawn"}
}

// rested notes where the machine is from when on it is watched for standing.
func (l *lineAck) rested(at paths.Point) { l.rests, l.restsAt, l.restsSeen = at, l.of, l.w.now() }

// downNext reports whether the pen is lowered before anything moves after block i.
func (l *lineAck) downNext(i int) bool {
	for k := i + 1; k < len(l.way.blocks) && l.way.blocks[k].Curve == nil; k++ {
		if l.way.blocks[k].Kind == program.PenDown {
			return true
		}
	}
	return false
}

// stands returns how long, s, the machine may be about where block i is: over a
// hair's breadth of way, and over all that it does standing there, before and
// after.
func (l *lineAck) stands(i int) float64 {
	blocks, marks := l.way.blocks, l.course.marks
	took := 0.0
	add := func(k int) (way float64) {
		share := 1.0
		if c := blocks[k].Curve; c != nil {
			way = c.Length()
			share = min(1, 2*hair/max(way, hair))
		}
		took += share * (marks[k+1].seconds - marks[k].seconds)
		return way
	}
	add(i)
	for k, way := i+1, 0.0; k < len(blocks) && way <= 2*hair; k++ {
		way += add(k)
	}
	for k, way := i-1, l.way.along; k >= 0 && way <= 2*hair; k-- {
		way += add(k)
	}
	return took
}

// penFits reports whether the pen stands as it should when the machine is at a
// place of the block.
func (l *lineAck) penFits(block int, at paths.Point, along float64) bool {
	if !l.heeded || !l.status.hasZ || !l.way.between(block, at, along) {
		return true
	}
	h, ok := l.heights.at(l.course.marks[block+1].end)
	return !ok || h.is(l.status.z)
}

// jumped reports whether the machine cannot have come from where it was last
// seen: the report is garbled, or the machine counts from elsewhere now.
func (l *lineAck) jumped(at paths.Point) bool {
	const slip = 50 * time.Millisecond // at a controller that is busy
	s := l.job.Machine.Speed
	fastest := float64(max(s.Draw, s.Travel))
	return at.Dist(l.seen) > 1+fastest*(l.w.now()-l.seenAt+slip).Seconds()
}

// nearHome is how near to its own 0,0 a machine off its way is taken to have
// restarted, mm.
const nearHome = 5

// offCourse is the error of a machine that is where the program does not lead.
func (l *lineAck) offCourse(at paths.Point) error {
	block := min(l.way.block, len(l.way.blocks)-1)
	down := l.course.marks[block].down || l.course.marks[block+1].down
	what := fmt.Sprintf("the machine is at %.2f, %.2f, where the program does not lead it", at.X, at.Y)
	if _, _, ok := l.way.see(at, l.last, anyPen); ok {
		what = fmt.Sprintf("the pen of the machine is not as the program has it at %.2f, %.2f", at.X, at.Y)
		down = true
	}
	l.stray = &straying{last: l.seen, when: l.seenAt, down: down, lost: l.jumped(at) || at.Len() < nearHome}
	return &fault.Error{Kind: Garbled, What: what + ": a line was garbled on its way, or the machine has restarted or lost steps",
		Do: "look at the cable, keep it away from motors, and see that nothing is in the way; then go on from what is proved drawn"}
}

func anyPen(int, paths.Point, float64) bool { return true }

// astray returns an error when the machine, with nothing left to do, does not
// stand where all that was written leads, or not with its pen so.
func (l *lineAck) astray() error {
	m := l.course.at(l.last)
	at, known := l.where()
	const slack = 0.05 // mm: reports are rounded, and to steps of the motors
	h, heightKnown := l.heights.at(l.last)
	switch {
	case known && m.moved && at.Dist(m.at) > slack:
		return l.standsWrong(fmt.Sprintf("the machine stands at %.2f, %.2f and not at %.2f, %.2f", at.X, at.Y, m.at.X, m.at.Y), at)
	case l.heeded && heightKnown && l.status.hasZ && !h.is(l.status.z):
		return l.standsWrong(fmt.Sprintf("the pen stands at height %.2f and not at %.2f", l.status.z, h.z), at)
	}
	return nil
}

func (l *lineAck) standsWrong(what string, at paths.Point) error {
	m := l.course.at(l.last)
	l.stray = &straying{last: l.seen, when: l.seenAt, down: m.down || l.drew(), lost: l.jumped(at) || at.Len() < nearHome && m.at.Len() > nearHome}
	return &fault.Error{Kind: Garbled, What: what + ": a line was garbled on its way or lost, or the machine has restarted",
		Do: "look at cable and power; then go on from what is proved drawn"}
}

// drew reports whether anything that draws was written since the machine was
// last seen on its way.
func (l *lineAck) drew() bool {
	return l.course.at(l.last).drawn > l.course.marks[min(l.way.block, len(l.way.blocks))].drawn
}

// strayed returns what is known of a stray line once the machine was halted: the
// one that it was halted for, or one that it drew until then, as when it went on
// after a line that it refused.
func (l *lineAck) strayed() *straying {
	at, known := l.where()
	if l.stray == nil && l.following && known {
		if _, _, ok := l.way.see(at, l.last, anyPen); !ok {
			_ = l.offCourse(at)
		}
	}
	if l.stray != nil {
		l.stray.until = l.stood
	}
	return l.stray
}
