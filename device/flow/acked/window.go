package acked

import (
	"math"
	"time"

	"weftplot/plot/language"
)

// window holds the lines that are on their way to a controller and not answered,
// and tells how many bytes of them there may be.
//
// An acknowledgement that comes twice makes a line count as gone that is still
// there, until the lines are next counted anew. So half of the buffer is kept
// free while answers wait for the motion, and the line has time to spare. While
// the controller answers at once its buffer is all but empty, and the window is
// what the line can carry until an answer comes, and two lines more.
type window struct {
	open []openLine // oldest first
	held int        // their bytes
	// written is the offset of the text written so far, acknowledged that of the
	// text answered so far, and answers those at the latest answers.
	written, acknowledged int
	answers               []int
	gone                  time.Duration // when the last line had left

	size        int // bytes that may be held
	least, most int // what size lies between
	longest     int // bytes of the longest line
	perByte     time.Duration
	soonest     time.Duration // the soonest answer after a line had left
}

// openLine is a line that is not answered.
type openLine struct {
	text  string // without its end
	bytes int
	end   int // offset of the text after it; 0 for a line of our own
	line  int // of the program, from 1; 0 for a line of our own
	gone  time.Duration
}

// deepest is how many answered lines a controller may still be busy with: more
// than the planners of small controllers hold (common practice).
const deepest = 64

// newWindow returns the window of a controller with so many bytes of buffer, for
// those chunks.
func newWindow(chunks []language.Chunk, buffer int, perByte time.Duration) window {
	w := window{perByte: perByte, soonest: math.MaxInt64}
	for _, c := range chunks {
		w.longest = max(w.longest, c.End-c.Start)
	}
	w.most = buffer - min(w.longest, buffer/3)
	w.least = min(w.most, max(buffer/2, w.longest))
	w.size = w.most
	return w
}

// empty reports whether all lines are answered.
func (w *window) empty() bool { return len(w.open) == 0 }

// fits reports whether a line of n bytes may be written now. One that is longer
// than the window goes alone.
func (w *window) fits(n int) bool { return w.held+n <= w.size || w.empty() }

// push notes that a line was written, which will have left at l.gone.
func (w *window) push(l openLine) {
	w.open = append(w.open, l)
	w.held += l.bytes
	w.written = max(w.written, l.end)
	w.gone = l.gone
}

// waits is how much later than the soonest an answer is that waited for the
// motion.
const waits = 10 * time.Millisecond

// pop counts the oldest line as answered at the time now. An answer too many
// changes nothing: an acknowledgement came twice.
func (w *window) pop(now time.Duration) (openLine, bool) {
	if w.empty() {
		return openLine{}, false
	}
	first := w.open[0]
	w.open = w.open[1:]
	w.held -= first.bytes
	w.resize(max(0, now-first.gone))
	if first.end > 0 {
		w.acknowledged = first.end
		if w.answers = append(w.answers, first.end); len(w.answers) > deepest {
			w.answers = w.answers[1:]
		}
	}
	return first, true
}

// resize takes in how long after a line had left its answer came.
func (w *window) resize(after time.Duration) {
	w.soonest = min(w.soonest, after)
	if after > w.soonest+waits {
		w.size = w.least
		return
	}
	w.size = min(w.most, max(w.least, int(after/w.perByte)+2*w.longest))
}

// clear drops all lines: the controller no longer holds them.
func (w *window) clear() { w.open, w.held = nil, 0 }

// done returns the offset before which a controller with the deepest planner has
// carried all out.
func (w *window) done() int {
	if len(w.answers) < deepest {
		return 0
	}
	return w.answers[0]
}

// oldest returns the offset at the oldest of the latest answers.
func (w *window) oldest() int {
	if len(w.answers) == 0 {
		return 0
	}
	return w.answers[0]
}
