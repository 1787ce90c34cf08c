package join

import (
	"weftplot/paths"
	"weftplot/paths/fault"
)

// mostLooks bounds the looks of one curve at another that joining may take:
// a few seconds' worth. Only curves that lie nearly on one another in great
// heaps, but not on one line or circle, come near it.
const mostLooks = 40_000_000

// boxLooks is how many looks at boxes take as long as one at curves.
const boxLooks = 16

// cutLooks is how many looks a cut counts as: it takes their time, and the pieces
// that it makes take memory.
const cutLooks = 50

// looksOn is how many looks it takes as long as to find the nearest point of a curve.
func looksOn(c paths.Curve) int {
	switch c.(type) {
	case paths.Line:
		return 0
	case paths.Arc:
		return 1
	}
	return 8
}

// asking is how many looks lie between two questions whether to stop.
const asking = 4096

// work counts the looks at curves, and asks now and then whether to go on.
type work struct {
	left, since int
	curves      int     // of the drawing
	apart       int     // how many of them are of strokes that nothing touches
	allTouch    bool    // strokes are taken apart whether anything touches them or not
	fewCuts     bool    // only those that connect the drawing are made
	crossings   bool    // what is looked for is where curves cross
	inkPerLift  float64 // mm, see Options
	stop        func() error

	tell     func(share float64) // may be nil
	from, to float64             // the share that the phase under way begins and ends at
	told     float64             // the last share, which no phase that is gone through again falls below
}

func newWork(stop func() error) *work { return &work{left: mostLooks, stop: stop} }

// upTo counts looks that are counted elsewhere, of which there are so many by
// now; counted is where it remembers.
func (w *work) upTo(now int, counted *int) error {
	n := now - *counted
	*counted = now
	return w.do(n)
}

// do counts n looks. Its error is that of stop, or says that there are too many.
func (w *work) do(n int) error {
	w.left -= n
	w.since += n
	if w.left < 0 {
		return w.tooMany()
	}
	if w.since >= asking {
		w.since = 0
		return w.ask()
	}
	return nil
}

// tooMany is the error that says that there are too many looks.
func (w *work) tooMany() error {
	if w.crossings {
		return fault.TooBig("", "leave out [through-crossings], or share the design out among several layers",
			"too many of its %d curves lie in one place to find out where they cross", w.curves)
	}
	return fault.TooBig("", "take out lines that lie on one another, or share the design out among several layers",
		"too many of its %d curves lie in one place to find out which of them are drawn twice", w.curves)
}

// ask returns the error of stop.
func (w *work) ask() error {
	if w.stop == nil {
		return nil
	}
	return w.stop()
}

// freeCuts returns how many cuts of so many parts may be made that connect nothing; those
// that nothing touches count too.
func (w *work) freeCuts(parts int) int {
	if w.fewCuts {
		return 0
	}
	return cutsEach*(parts+w.apart) + cutsMore
}

// phase tells that the work has come to a share of it, and that the next phase takes it
// to another.
func (w *work) phase(from, to float64) {
	w.from, w.to = from, to
	w.part(0, 1)
}

// part tells now and then that i of n parts of the phase are done.
func (w *work) part(i, n int) {
	if w.tell == nil || i%asking != 0 {
		return
	}
	if share := w.from + (w.to-w.from)*float64(i)/float64(n); share > w.told {
		w.told = share
		w.tell(share)
	}
}
