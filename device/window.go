package device

import (
	"math"
	"time"
)

// window is how many bytes may be on their way to a controller unanswered.
//
// An acknowledgement that comes twice makes a line count as gone that is still
// there, until the lines are next counted anew. So half of the buffer is kept
// free while its answers wait for the motion, and the line has time to spare.
// While it answers at once its buffer is all but empty, and the window is what
// the line can carry until an answer comes, and two lines more.
type window struct {
	bytes       int
	least, most int // what bytes lies between
	longest     int // bytes of the longest line
	perByte     time.Duration
	soonest     time.Duration // the soonest answer after a line had left
}

func newWindow(job Job, perByte time.Duration) window {
	w := window{perByte: perByte, soonest: math.MaxInt64}
	for _, p := range cutLines(job.Text) {
		w.longest = max(w.longest, p.end-p.start)
	}
	size := job.Machine.Serial.Buffer
	w.most = size - min(w.longest, size/3)
	w.least = min(w.most, max(size/2, w.longest))
	w.bytes = w.most
	return w
}

// waits is how much later than the soonest an answer is that waited for the
// motion.
const waits = 10 * time.Millisecond

// answered takes in how long after a line had left its answer came.
func (w *window) answered(after time.Duration) {
	w.soonest = min(w.soonest, after)
	if after > w.soonest+waits {
		w.bytes = w.least
		return
	}
	w.bytes = min(w.most, max(w.least, int(after/w.perByte)+2*w.longest))
}
