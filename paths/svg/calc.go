package svg

import "strings"

// isCalc reports whether a value is a sum to be worked out.
func isCalc(text string) bool { return len(text) > 5 && strings.EqualFold(text[:5], "calc(") }

// parseCalc works out calc(): sums, differences, products with and quotients
// by numbers, and brackets (CSS Values and Units 3, 8.1).
func parseCalc(text string) (length, bool) {
	c := calc{scan: scan{s: text, i: 4}}
	l, _, ok := c.primary(0)
	c.space()
	return l, ok && c.done() && finite(l.v) && finite(l.percent) && finite(l.em)
}

type calc struct{ scan }

// maxCalc bounds how deep brackets stand within brackets.
const maxCalc = 32

// sum reads products with + and - between blanks. number is true for a value
// without unit.
func (c *calc) sum(depth int) (l length, number, ok bool) {
	l, number, ok = c.product(depth)
	for ok {
		mark := c.i
		c.space()
		op := c.peek()
		if op != '+' && op != '-' {
			return l, number, true
		}
		c.i++
		if c.i-mark < 2 || !isSpace(c.peek()) { // blanks on both sides, or it is a sign
			return l, number, false
		}
		m, n, good := c.product(depth)
		if ok = good && n == number; op == '-' {
			m = m.times(-1)
		}
		l = length{v: l.v + m.v, percent: l.percent + m.percent, em: l.em + m.em}
	}
	return l, number, false
}

func (c *calc) product(depth int) (l length, number, ok bool) {
	l, number, ok = c.primary(depth)
	for ok {
		mark := c.i
		c.space()
		op := c.peek()
		if op != '*' && op != '/' {
			c.i = mark
			return l, number, true
		}
		c.i++
		m, n, good := c.primary(depth)
		switch {
		case !good || op == '/' && (!n || m.v == 0) || !n && !number:
			return l, number, false
		case op == '/':
			l = l.times(1 / m.v)
		case n:
			l = l.times(m.v)
		default:
			l, number = m.times(l.v), false
		}
	}
	return l, number, false
}

// primary reads a number, a length, or brackets with a sum in them.
func (c *calc) primary(depth int) (l length, number, ok bool) {
	c.space()
	if isCalc(c.s[c.i:]) {
		c.i += 4
	}
	if c.peek() == '(' {
		if depth == maxCalc {
			return l, false, false
		}
		c.i++
		l, number, ok = c.sum(depth + 1)
		c.space()
		if c.peek() != ')' {
			return l, number, false
		}
		c.i++
		return l, number, ok
	}
	v, ok := c.number()
	if !ok || !finite(v) {
		return l, false, false
	}
	from := c.i
	for isLetter(c.peek()) || c.peek() == '%' {
		c.i++
	}
	switch unit := strings.ToLower(c.s[from:c.i]); unit {
	case "":
		return length{v: v}, true, true
	case "%":
		return length{percent: v}, false, true
	case "em":
		return length{em: v}, false, true
	case "ex", "ch":
		return length{em: v / 2}, false, true
	case "rem":
		return length{v: v * defaultFontSize}, false, true
	default:
		k, known := px[unit]
		return length{v: v * k}, false, known
	}
}

func (l length) times(k float64) length {
	return length{v: l.v * k, percent: l.percent * k, em: l.em * k}
}
