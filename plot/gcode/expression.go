package gcode

import (
	"fmt"
	"math"
	"strings"
)

// Expressions and parameters, as NISTIR 6556 has them in 3.3.2: a value is a
// number, a parameter, an expression in brackets, or a function of one.

const (
	maxDepth     = 50   // of brackets within brackets
	maxParameter = 5399 // NISTIR 6556, 3.2.1
)

// parameters holds what a program has set; the others are 0.
type parameters map[int]float64

// setting is a parameter to be set when the line has been read.
type setting struct {
	number int
	value  float64
}

// expression reads values from a text.
type expression struct {
	text  string
	pos   int
	depth int
	vars  parameters
	// computed is set where a value is more than a number.
	computed *bool
}

// value reads one value at the start of text and returns how many bytes it took.
// Where that is more than a number, it sets computed.
func (p parameters) value(text string, computed *bool) (v float64, n int, err error) {
	e := expression{text: text, vars: p, computed: computed}
	if v, err = e.value(); err == nil && !(math.Abs(v) <= maxValue) {
		err = fmt.Errorf("%g is not a number that can be used", v)
	}
	return v, e.pos, err
}

func (e *expression) peek() byte {
	for e.pos < len(e.text) && isSpace(e.text[e.pos]) {
		e.pos++
	}
	if e.pos == len(e.text) {
		return 0
	}
	return e.text[e.pos]
}

// take takes a byte if it comes next.
func (e *expression) take(c byte) bool {
	if e.peek() != c {
		return false
	}
	e.pos++
	return true
}

func (e *expression) value() (float64, error) {
	if e.depth++; e.depth > maxDepth {
		return 0, fmt.Errorf("the expression is nested too deep")
	}
	defer func() { e.depth-- }()
	switch c := e.peek(); {
	case c == '#':
		e.pos++
		n, err := e.parameter()
		*e.computed = true
		return e.vars[n], err
	case c == '[':
		*e.computed = true
		return e.brackets()
	case isLetter(c):
		*e.computed = true
		return e.function()
	}
	v, n, err := number(e.text[e.pos:])
	e.pos += n
	return v, err
}

// parameter reads the number of a parameter, which may be a value of any kind.
func (e *expression) parameter() (int, error) {
	v, err := e.value()
	n := math.Round(v)
	if err == nil && (math.Abs(v-n) > 0.0001 || n < 1 || n > maxParameter) {
		err = fmt.Errorf("there is no parameter #%g", v)
	}
	return int(n), err
}

// brackets reads an expression in brackets.
func (e *expression) brackets() (float64, error) {
	if !e.take('[') {
		return 0, fmt.Errorf("a bracket is missing")
	}
	v, err := e.operations(1)
	if err == nil && !e.take(']') {
		err = fmt.Errorf("a bracket is not closed")
	}
	return v, err
}

// operators has the words of each level of binding, loosest first; those of a
// level are worked from the left: NISTIR 6556, 3.3.2.3 and table 5.
var operators = [...][]string{1: {"+", "-", "OR", "XOR", "AND"}, 2: {"*", "/", "MOD"}, 3: {"**"}}

// operations reads values with operators of a level and all that bind closer.
func (e *expression) operations(level int) (float64, error) {
	if level == len(operators) {
		return e.value()
	}
	v, err := e.operations(level + 1)
	for err == nil {
		name := e.operator(level)
		if name == "" {
			break
		}
		var w float64
		if w, err = e.operations(level + 1); err == nil {
			v, err = operate(name, v, w)
		}
	}
	return v, err
}

// operator takes an operator of a level, "" if none comes next.
func (e *expression) operator(level int) string {
	e.peek()
	rest := e.text[e.pos:]
	for _, name := range operators[level] {
		if len(rest) < len(name) || !strings.EqualFold(rest[:len(name)], name) || name == "*" && strings.HasPrefix(rest, "**") {
			continue
		}
		e.pos += len(name)
		return name
	}
	return ""
}

func operate(name string, a, b float64) (float64, error) {
	truth := func(t bool) (float64, error) {
		if t {
			return 1, nil
		}
		return 0, nil
	}
	switch name {
	case "+":
		return a + b, nil
	case "-":
		return a - b, nil
	case "*":
		return a * b, nil
	case "**":
		return finite(math.Pow(a, b))
	case "OR":
		return truth(a != 0 || b != 0)
	case "AND":
		return truth(a != 0 && b != 0)
	case "XOR":
		return truth((a != 0) != (b != 0))
	}
	if b == 0 {
		return 0, fmt.Errorf("it divides by 0")
	}
	if name == "/" {
		return finite(a / b)
	}
	m := math.Mod(a, b) // never below 0: NISTIR 6556, 3.3.2.3
	if m < 0 {
		m += math.Abs(b)
	}
	return m, nil
}

// functions are those of one value, angles in degrees: NISTIR 6556, table 6.
var functions = map[string]func(float64) float64{
	"ABS": math.Abs, "SQRT": math.Sqrt, "EXP": math.Exp, "LN": math.Log, "ROUND": math.Round, "FIX": math.Floor, "FUP": math.Ceil,
	"SIN":  func(a float64) float64 { return math.Sin(a * math.Pi / 180) },
	"COS":  func(a float64) float64 { return math.Cos(a * math.Pi / 180) },
	"TAN":  func(a float64) float64 { return math.Tan(a * math.Pi / 180) },
	"ASIN": func(x float64) float64 { return math.Asin(x) * 180 / math.Pi },
	"ACOS": func(x float64) float64 { return math.Acos(x) * 180 / math.Pi },
}

func (e *expression) function() (float64, error) {
	start := e.pos
	for e.pos < len(e.text) && isLetter(e.text[e.pos]) && e.pos-start < 6 {
		e.pos++
	}
	name := strings.ToUpper(e.text[start:e.pos])
	f, known := functions[name]
	if !known && name != "ATAN" {
		return 0, fmt.Errorf("a number is missing")
	}
	v, err := e.brackets()
	if err != nil {
		return 0, err
	}
	if known {
		return finite(f(v))
	}
	if !e.take('/') {
		return 0, fmt.Errorf("ATAN needs two values, as in ATAN[1]/[2]")
	}
	w, err := e.brackets()
	return math.Atan2(v, w) * 180 / math.Pi, err
}

func finite(v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("the expression has no value")
	}
	return v, nil
}
