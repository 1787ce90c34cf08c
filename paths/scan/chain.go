package scan

import "weftplot/paths"

// place is where a run ends: given, or free, to be found from the ink.
type place struct {
	at    paths.Point
	fixed bool
}

// run is a smooth piece of line: points on the middle of its ink, with gaps
// where that could not be seen, and its two ends.
type run struct {
	pts  []paths.Point
	a, b place
}

// chain is a line drawn without lifting the pen: runs that meet in corners. A
// closed one comes back to where it began; if it is a single run with free ends
// it has no corner at all.
type chain struct {
	runs   []run
	closed bool
}

// isLoop reports whether a chain is closed and smooth all round.
func (c chain) isLoop() bool { return c.closed && len(c.runs) == 1 && !c.runs[0].a.fixed }

// chains follows the lines through the knots.
func (w *weaver) chains() []chain {
	var out []chain
	done := make([]bool, len(w.g.edges))
	for i := range w.g.edges {
		done[i] = w.gone[i] || len(w.lines[i]) == 0
	}
	for i, e := range w.g.edges {
		if done[i] || e.isRing() {
			continue
		}
		for _, x := range []end{{i, false}, {i, true}} {
			if !w.links[x].goes && !done[i] {
				out = append(out, w.follow(x, done))
			}
		}
	}
	for i, e := range w.g.edges {
		switch {
		case done[i]:
		case e.isRing():
			out = append(out, chain{[]run{{pts: w.lines[i]}}, true})
		default:
			out = append(out, w.follow(end{i, false}, done))
		}
	}
	return out
}

// follow goes along lines from one end on.
func (w *weaver) follow(from end, done []bool) chain {
	var c chain
	first := w.links[from]
	now := run{a: place{first.at, first.fixed}}
	for x := from; ; {
		done[x.edge] = true
		pts := w.lines[x.edge]
		if x.last {
			pts = reversed(pts)
		}
		now.pts = append(now.pts, pts...)
		l := w.links[x.other()]
		if l.goes && l.to != from && !done[l.to.edge] {
			if l.fixed {
				now.b = place{l.at, true}
				c.runs = append(c.runs, now)
				now = run{a: place{l.at, true}}
			}
			x = l.to
			continue
		}
		c.closed = l.goes && l.to == from
		now.b = place{l.at, l.fixed}
		c.runs = append(c.runs, now)
		break
	}
	if c.closed && !first.fixed && len(c.runs) > 1 {
		// It was begun in the middle of a run: the last goes on into the first.
		last := c.runs[len(c.runs)-1]
		c.runs[0].pts = append(last.pts, c.runs[0].pts...)
		c.runs[0].a = last.a
		c.runs = c.runs[:len(c.runs)-1]
	}
	return c
}
