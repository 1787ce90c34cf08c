package device

import "time"

// recountEvery is how long a stroke may go on before the lines that wait in the
// controller are counted anew, and fewMoves how many may be left to do then: a
// controller that is so near its end has taken all lines out of its buffer.
const (
	recountEvery = 5 * time.Second
	fewMoves     = 3
)

// recount lets the machine come near the end of what it was sent, now and then
// in a long stroke, so that every answer has come and those too many are dropped
// with no line waiting for them. What is left to do keeps it moving meanwhile.
func (l *lineAck) recount() error {
	every := max(recountEvery, 100*reportSize*l.w.perByte) // a slow line has no time to spare
	if !l.following || l.w.now()-l.counted < every {
		return nil
	}
	l.counted = l.w.now()
	if err := l.ask(); err != nil {
		return err
	}
	return l.await(func() bool { return l.of >= l.counted && l.nearEnd() || l.w.now()-l.counted > every })
}

// nearEnd reports whether little is left to do of what was written: a few moves,
// or as long as the line needs to bring more, twice.
func (l *lineAck) nearEnd() bool {
	left := 0
	for i := l.way.block + 1; i < len(l.way.blocks) && l.course.marks[i+1].end <= l.last; i++ {
		left++
	}
	refill := 2 * time.Duration(l.window.bytes) * l.w.perByte
	toDo := seconds(l.course.at(l.last).seconds - l.course.marks[min(l.way.block+1, len(l.way.blocks))].seconds)
	return left <= fewMoves || toDo <= refill
}
