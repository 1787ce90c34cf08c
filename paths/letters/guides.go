package letters

import (
	"math"

	"weftplot/paths/weave"
)

// rows are the guide rows of an alphabet at one height, by name, in channels above
// the base line. The names are those of the sources:
//
//	b  base                     d  foot of descenders
//	h  cap height, ascenders    a  top of t
//	m  waist of capitals        n  waist of small letters
//	x  x-height
//	u  v  upper and lower ends of open capitals and digits
//	p  q  the same of small letters
//	k  bar of A                 j  i  bowls of 6 and 9
//	y  z  foot and top of the dot of i; o t the same of a mark above a letter
//	f  top of a full stop       g  foot of a comma
//	w  middle of signs          A  B  above and below it
//	e  s  levels of two level lines, as in =
type rows map[byte]int

// part returns a share of h rows, rounded, and at least least.
func part(h int, share float64, least int) int {
	return max(least, int(math.Round(share*float64(h))))
}

// guideRows returns the rows of every alphabet at height h; alphabets differ
// only in small, the x-height as a share of h.
func guideRows(h int, small float64) rows {
	x := part(h, small, 4)
	r := rows{
		'b': 0, 'h': h, 'x': x,
		'm': (h + 1) / 2, 'n': (x + 1) / 2,
		'd': -part(h, 0.3, 2), 'a': x + part(h, 0.17, 1),
		'u': h - part(h, 0.2, 1), 'v': part(h, 0.2, 1),
		'p': x - part(h, 0.16, 1), 'q': part(h, 0.16, 1),
		'k': part(h, 0.3, 2), 'j': part(h, 0.58, 3),
		'f': part(h, 0.06, 1), 'g': -part(h, 0.12, 1),
	}
	r['i'] = h - r['j']
	r['w'] = r['m']
	gap := markGap(h)
	r['y'], r['z'] = x+gap, x+gap+r['f']
	half := part(h, 0.2, 2)
	r['A'], r['B'] = r['w']+half, r['w']-half
	r['e'], r['s'] = r['w']+part(h, 0.1, 1), r['w']-part(h, 0.1, 1)
	return r
}

// markGap returns how many rows a mark is above its letter.
func markGap(h int) int { return part(h, 0.15, 2) }

// markAbove returns the rows of a mark whose lowest row is foot: o its foot, m
// its middle, t its top, and y the top of a dot.
func markAbove(h, foot int) rows {
	tall := part(h, 0.2, 2)
	return rows{'o': foot, 't': foot + tall, 'y': foot + part(h, 0.06, 1), 'm': foot + tall/2}
}

// markBelow returns the rows of a mark below: b the base line, o and t the upper and
// the lower level of a cedilla, g the head of a comma and s its foot.
func markBelow(h int) rows {
	step := part(h, 0.08, 1)
	return rows{'b': 0, 'o': -step, 'g': -max(2, step+1), 't': -3 * step, 's': -max(2, step+1) - 2*step}
}

// markBeside returns the rows of a caron at the side of a tall letter: t its
// head, o its foot.
func markBeside(h int) rows { return rows{'t': h, 'o': h - part(h, 0.22, 2)} }

// columns are the guide columns of one letter.
type columns struct{ width, tail int }

// at returns the column of a guide, in channels from the letter's left edge.
func (c columns) at(g guide) (int, bool) {
	w := c.width
	switch {
	case g.name == 'l':
		return g.off, true
	case g.name == 'r':
		return w + g.off, true
	case g.name == 'c':
		return w/2 + g.off, true
	case g.name == 't':
		return w + c.tail + g.off, true
	case g.name == 'e':
		return w + c.foot() + g.off, true
	case g.name == 's':
		return w + 2*c.foot() + g.off, true
	case g.name == 'S':
		return -2*c.foot() + g.off, true
	case g.name == 'q':
		return share(w, 0.25) + g.off, true
	case g.name == 'Q':
		return w - share(w, 0.25) + g.off, true
	case g.name >= '0' && g.name <= '9':
		k := float64(g.name-'0') / 10
		if k > 0.5 {
			return w - share(w, 1-k) + g.off, true
		}
		return share(w, k) + g.off, true
	}
	return 0, false
}

// foot returns half the level part of a joining stroke, in channels.
func (c columns) foot() int { return max(1, share(c.tail, 0.25)) }

func share(w int, k float64) int { return int(math.Round(k*float64(w) - 1e-9)) }

// widthOf returns the width of a drawing in channels: a share of the height in
// mm, as the multiple of d.even nearest to it.
func (d drawing) widthOf(h int, g weave.Grid) int {
	if d.share == 0 {
		return d.fixed
	}
	even := float64(d.even)
	channels := d.share * float64(h) * g.Along / g.Across
	n := math.Round(channels / even)
	if d.most > 0 {
		n = min(n, math.Floor(d.most*float64(h)/even+1e-9))
	}
	return d.even * max(1, int(n))
}
