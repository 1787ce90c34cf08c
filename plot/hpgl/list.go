package hpgl

import (
	"math"
	"strconv"
)

// A stroke goes out in chunks, each an instruction of its own: a sender can ask
// the plotter where it is between two. All moves of a stroke count from the one
// before, so that where the pen comes to is a check of every number since the
// stroke began; they are whole steps of the grid, so rounding does not add up.
const (
	// chunkMM is the length of line at which a chunk ends, mm.
	chunkMM = 12
	// longestMove is the longest line between two points that are written, mm. A
	// longer one is cut, so that no number of a stroke is large: one that is
	// garbled leads the pen less far, and a window about a slanting line stays
	// narrow.
	longestMove = 24
)

// list is the coordinate list being written: plain for HP-GL, encoded for
// HP-GL/2.
type list struct {
	open   bool
	bare   bool    // it holds nothing but the pen's fall yet
	length int     // characters on the line so far
	drawn  float64 // mm of line in it
}

// begin brings the pen down at w.at, after the travel there if it is due.
func (l *list) begin(w *writer) {
	l.end(w)
	if w.due {
		l.travel(w, w.at)
	}
	l.drawn = 0
	if w.encoded {
		l.start(w)
		// The pair of zeros lowers the pen where it is, as advised: PCL 5, 20-35.
		l.put(w, encodePair(0, 0, w.base))
		return
	}
	l.put(w, "PD")
	l.open, l.bare = true, true
}

// travel moves with the pen up. It says an absolute place, so that what went wrong
// in one stroke cannot shift the next.
func (l *list) travel(w *writer, to position) {
	l.end(w)
	if w.encoded {
		l.start(w)
		l.put(w, "<="+encodePair(to[0], to[1], w.base))
		l.end(w)
		return
	}
	w.line("PUPA" + pair(to) + ";")
}

// to draws a line with the pen down.
func (l *list) to(w *writer, to position) {
	move := position{to[0] - w.at[0], to[1] - w.at[1]}
	text := pair(move)
	if w.encoded {
		text = encodePair(move[0], move[1], w.base)
	}
	if l.open && (l.drawn >= chunkMM || l.length+len(text)+2 > maxLine) {
		l.end(w)
	}
	switch {
	case w.encoded && !l.open:
		l.start(w)
	case w.encoded:
	case !l.open, l.bare:
		text = "PR" + text
		l.open, l.bare = true, false
	default:
		text = "," + text
	}
	l.put(w, text)
	l.drawn += w.length(move)
}

// start opens an encoded polyline, in base 32 where the line carries seven bits.
func (l *list) start(w *writer) {
	l.open = true
	l.put(w, "PE")
	if w.base == base32 {
		l.put(w, "7")
	}
	if w.bits > 0 {
		l.put(w, ">"+string(encode(nil, int64(w.bits), w.base)))
	}
}

func (l *list) put(w *writer, s string) {
	w.out.WriteString(s)
	l.length += len(s)
}

// end closes the list.
func (l *list) end(w *writer) {
	if l.open {
		w.line(";")
	}
	*l = list{}
}

func pair(p position) string {
	return strconv.FormatInt(p[0], 10) + "," + strconv.FormatInt(p[1], 10)
}

// length returns how long a move is, mm.
func (w *writer) length(move position) float64 {
	return math.Hypot(float64(move[0]), float64(move[1])) / w.grid.MeanScale()
}
