package css

import (
	"strings"

	"weftplot/paths/svg/lex"
)

// isCalc reports whether a value is a calc() function.
func isCalc(text string) bool { return len(text) > 5 && strings.EqualFold(text[:5], "calc(") }

// parseCalc evaluates calc(): sums, differences, products with and quotients by
// numbers, and brackets (CSS Values and Units 3, 8.1).
func parseCalc(text string) (Length, bool) {
	c := calc{lex.Scanner{Text: text, At: 4}}
	l, _, ok := c.primary(0)
	c.Space()
	return l, ok && c.Done() && lex.Finite(l.Value) && lex.Finite(l.percent) && lex.Finite(l.em)
}

type calc struct{ lex.Scanner }

// maxCalc bounds how deep brackets nest.
const maxCalc = 32

// sum reads products with + and - between blanks. number is true for a value
// without unit.
func (c *calc) sum(depth int) (l Length, number, ok bool) {
	l, number, ok = c.product(depth)
	for ok {
		mark := c.At
		c.Space()
		op := c.Peek()
		if op != '+' && op != '-' {
			return l, number, true
		}
		c.At++
		if c.At-mark < 2 || !lex.IsSpace(c.Peek()) { // blanks on both sides, or it is a sign
			return l, number, false
		}
		m, n, good := c.product(depth)
		if ok = good && n == number; op == '-' {
			m = m.times(-1)
		}
		l = Length{Value: l.Value + m.Value, percent: l.percent + m.percent, em: l.em + m.em}
	}
	return l, number, false
}

func (c *calc) product(depth int) (l Length, number, ok bool) {
	l, number, ok = c.primary(depth)
	for ok {
		mark := c.At
		c.Space()
		op := c.Peek()
		if op != '*' && op != '/' {
			c.At = mark
			return l, number, true
		}
		c.At++
		m, n, good := c.primary(depth)
		switch {
		case !good || op == '/' && (!n || m.Value == 0) || !n && !number:
			return l, number, false
		case op == '/':
			l = l.times(1 / m.Value)
		case n:
			l = l.times(m.Value)
		default:
			l, number = m.times(l.Value), false
		}
	}
	return l, number, false
}

// primary reads a number, a length, or brackets with a sum in them.
func (c *calc) primary(depth int) (l Length, number, ok bool) {
	c.Space()
	if isCalc(c.Text[c.At:]) {
		c.At += 4
	}
	if c.Peek() == '(' {
		if depth == maxCalc {
			return l, false, false
		}
		c.At++
		l, number, ok = c.sum(depth + 1)
		c.Space()
		if c.Peek() != ')' {
			return l, number, false
		}
		c.At++
		return l, number, ok
	}
	v, ok := c.Number()
	if !ok || !lex.Finite(v) {
		return l, false, false
	}
	from := c.At
	for lex.IsLetter(c.Peek()) || c.Peek() == '%' {
		c.At++
	}
	switch unit := strings.ToLower(c.Text[from:c.At]); unit {
	case "":
		return Length{Value: v}, true, true
	case "%":
		return Length{percent: v}, false, true
	case "em":
		return Length{em: v}, false, true
	case "ex", "ch":
		return Length{em: v / 2}, false, true
	case "rem":
		return Length{Value: v * DefaultFontSize}, false, true
	default:
		k, known := px[unit]
		return Length{Value: v * k}, false, known
	}
}

func (l Length) times(k float64) Length {
	return Length{Value: l.Value * k, percent: l.percent * k, em: l.em * k}
}
