package hpgl

import "strconv"

// list is the coordinate list being written: plain for HP-GL, encoded for
// HP-GL/2.
type list struct {
	open   bool
	length int // characters on the line so far
}

// begin brings the pen down at w.at, after the travel there if it is due.
func (l *list) begin(w *writer) {
	l.end(w)
	if w.encoded {
		l.start(w)
		if w.due {
			// The pair of zeros lowers the pen where it is, as advised: PCL 5, 20-35.
			l.put(w, "<="+encodePair(w.at[0], w.at[1], w.base)+encodePair(0, 0, w.base))
		} else {
			l.put(w, encodePair(0, 0, w.base))
		}
		return
	}
	if w.due {
		l.travel(w, w.at)
	}
	w.out.WriteString("PD")
	l.open, l.length = true, 2
}

// travel moves with the pen up.
func (l *list) travel(w *writer, to position) {
	l.end(w)
	if w.encoded {
		l.start(w)
		l.put(w, "<="+encodePair(to[0], to[1], w.base))
		l.end(w)
		return
	}
	w.line("PU" + strconv.FormatInt(to[0], 10) + "," + strconv.FormatInt(to[1], 10) + ";")
}

// to draws a line with the pen down.
func (l *list) to(w *writer, to position) {
	if w.encoded {
		if !l.open {
			l.start(w)
		}
		l.put(w, encodePair(to[0]-w.at[0], to[1]-w.at[1], w.base))
		return
	}
	pair := strconv.FormatInt(to[0], 10) + "," + strconv.FormatInt(to[1], 10)
	if l.open && l.length+1+len(pair) >= maxLine {
		l.end(w)
	}
	switch {
	case !l.open:
		w.out.WriteString("PD")
		l.open, l.length = true, 2
	case l.length > 2:
		w.out.WriteByte(',')
		l.length++
	}
	w.out.WriteString(pair)
	l.length += len(pair)
}

// start opens an encoded polyline, in base 32 where the line carries seven bits.
func (l *list) start(w *writer) {
	l.open, l.length = true, 0
	l.put(w, "PE")
	if w.base == base32 {
		l.put(w, "7")
	}
	if w.bits > 0 {
		l.put(w, ">"+string(encode(nil, int64(w.bits), w.base)))
	}
}

// put appends encoded text; an end of line inside is skipped by the plotter:
// PCL 5, 20-36.
func (l *list) put(w *writer, s string) {
	if l.length+len(s) >= maxLine {
		w.out.WriteByte('\n')
		l.length = 0
	}
	w.out.WriteString(s)
	l.length += len(s)
}

// end closes the list.
func (l *list) end(w *writer) {
	if l.open {
		w.line(";")
		l.open = false
	}
}
