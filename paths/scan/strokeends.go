package scan

import (
	"slices"

	"weftplot/paths"
)

// strokeEnd is one end of a stroke.
type strokeEnd struct {
	stroke int
	last   bool
}

func endOf(s paths.Stroke, last bool) paths.Point {
	if last {
		return s.End()
	}
	return s.Start()
}

// endedAt returns a stroke with one of its ends moved: the curve there is bent to it,
// or a line is added where that is too far.
func endedAt(s paths.Stroke, last bool, at paths.Point) paths.Stroke {
	out := append(paths.Stroke{}, s...)
	i := 0
	if last {
		i = len(s) - 1
	}
	c := s[i]
	by := endOf(s, last).Dist(at)
	switch {
	case by == 0:
		return s
	case c.Length() < 6*by && last:
		return append(out, paths.Line{A: s.End(), B: at})
	case c.Length() < 6*by:
		return append(paths.Stroke{paths.Line{A: at, B: s.Start()}}, out...)
	case last:
		out[i] = paths.Spanned(c, c.Start(), at)
	default:
		out[i] = paths.Spanned(c, at, c.End())
	}
	return out
}

// joinedAtEnds makes one stroke of two whose ends are one place, where no third has an
// end.
func joinedAtEnds(strokes []paths.Stroke) []paths.Stroke {
	at := map[paths.Point][]strokeEnd{}
	for i, s := range strokes {
		if len(s) > 0 && !s.IsDot() && !s.IsClosed() {
			at[s.Start()] = append(at[s.Start()], strokeEnd{i, false})
			at[s.End()] = append(at[s.End()], strokeEnd{i, true})
		}
	}
	strokes = slices.Clone(strokes)
	for i := range strokes {
		for _, last := range []bool{true, false} {
			for len(strokes[i]) > 0 && !strokes[i].IsClosed() && joinOne(strokes, at, i, last) {
			}
		}
	}
	return slices.DeleteFunc(strokes, func(s paths.Stroke) bool { return len(s) == 0 })
}

// joinOne joins to an end of stroke i the stroke that goes on there, and leaves that one
// empty. It reports whether there was one.
func joinOne(strokes []paths.Stroke, at map[paths.Point][]strokeEnd, i int, last bool) bool {
	p := endOf(strokes[i], last)
	here := at[p]
	if len(here) != 2 {
		return false
	}
	next := here[0]
	if next.stroke == i {
		next = here[1]
	}
	if next.stroke == i {
		return false
	}
	more := strokes[next.stroke]
	if next.last == last {
		more = more.Reverse()
	}
	if last {
		strokes[i] = append(slices.Clip(strokes[i]), more...)
	} else {
		strokes[i] = append(slices.Clip(more), strokes[i]...)
	}
	delete(at, p)
	far := at[endOf(strokes[i], last)]
	for k, e := range far {
		if e == (strokeEnd{next.stroke, !next.last}) {
			far[k] = strokeEnd{i, last}
		}
	}
	strokes[next.stroke] = nil
	return true
}
