package scan

import (
	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// place is where a run ends: a given place, or a free end, whose place is found
// from the ink.
type place struct {
	at    paths.Point
	fixed bool
}

// run is a smooth piece of line: points on the middle of its ink, with gaps
// where the middle could not be seen, and its two ends.
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

// chains follows the lines through the junctions.
func (w *rebuilder) chains() []chain {
	var out []chain
	done := make([]bool, len(w.g.Branches))
	for i := range w.g.Branches {
		done[i] = w.gone[i] || len(w.lines[i]) == 0
	}
	for i, e := range w.g.Branches {
		if done[i] || e.IsRing() {
			continue
		}
		for _, x := range []skeleton.End{{Branch: i}, {Branch: i, Last: true}} {
			if !w.links[x].continues && !done[i] {
				out = append(out, w.follow(x, done))
			}
		}
	}
	for i, e := range w.g.Branches {
		switch {
		case done[i]:
		case e.IsRing():
			out = append(out, chain{[]run{{pts: w.lines[i]}}, true})
		default:
			out = append(out, w.follow(skeleton.End{Branch: i}, done))
		}
	}
	return out
}

// follow follows lines from one end.
func (w *rebuilder) follow(from skeleton.End, done []bool) chain {
	var c chain
	first := w.links[from]
	now := run{a: place{first.at, first.fixed}}
	for x := from; ; {
		done[x.Branch] = true
		pts := w.lines[x.Branch]
		if x.Last {
			pts = reversed(pts)
		}
		now.pts = append(now.pts, pts...)
		l := w.links[x.Other()]
		if l.continues && l.to != from && !done[l.to.Branch] {
			if l.fixed {
				now.b = place{l.at, true}
				c.runs = append(c.runs, now)
				now = run{a: place{l.at, true}}
			}
			x = l.to
			continue
		}
		c.closed = l.continues && l.to == from
		now.b = place{l.at, l.fixed}
		c.runs = append(c.runs, now)
		break
	}
	if c.closed && !first.fixed && len(c.runs) > 1 {
		// The chain was begun in the middle of a run, so the last run continues
		// into the first.
		last := c.runs[len(c.runs)-1]
		c.runs[0].pts = append(last.pts, c.runs[0].pts...)
		c.runs[0].a = last.a
		c.runs = c.runs[:len(c.runs)-1]
	}
	return c
}
