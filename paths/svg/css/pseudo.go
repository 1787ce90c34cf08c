package css

import (
	"slices"
	"strconv"
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// placeTest tests an element's place among its siblings: the name of a
// structural pseudo-class, and for those that count, that the element's number
// is step·n + offset for a whole n from 0 (Selectors 4, 14).
type placeTest struct {
	name         string
	step, offset int
}

// anyOf tests that one of its selectors matches, or when negated that none
// does.
type anyOf struct {
	negated bool
	list    []selector
}

// plainPlaces are the structural pseudo-classes without an argument.
var plainPlaces = map[string]bool{
	"root": true, "empty": true, "first-child": true, "last-child": true, "only-child": true,
	"first-of-type": true, "last-of-type": true, "only-of-type": true,
}

// counted are those that take a step and an offset.
var counted = map[string]bool{
	"nth-child": true, "nth-last-child": true, "nth-of-type": true, "nth-last-of-type": true,
}

// pseudo reads a pseudo-class.
func (p *selectorParser) pseudo(c *compound) bool {
	p.next()
	t := p.next()
	name := strings.ToLower(t.text)
	if t.kind == lexer.IdentToken && plainPlaces[name] {
		c.places = append(c.places, placeTest{name: name})
		c.specificity[1]++
		return true
	}
	if t.kind != lexer.FunctionToken {
		return false
	}
	end := find(p.toks, lexer.RightParenthesisToken)
	if end == len(p.toks) {
		return false
	}
	inside := p.toks[:end]
	p.toks = p.toks[end+1:]
	switch name = strings.TrimSuffix(name, "("); {
	case counted[name]:
		step, offset, ok := parseStep(join(inside))
		c.places = append(c.places, placeTest{name, step, offset})
		c.specificity[1]++
		return ok
	case name == "not" || name == "is" || name == "where":
		return p.selectors(c, name, inside)
	}
	return false
}

// selectors reads the list of selectors in a pseudo-class. The most specific of
// them sets the specificity; :where has none (Selectors 4, 17).
func (p *selectorParser) selectors(c *compound, name string, toks []token) bool {
	if p.depth == maxNesting {
		return false
	}
	test := anyOf{negated: name == "not"}
	var most specificity
	for {
		end := find(toks, lexer.CommaToken)
		sel, ok := parseNested(toks[:end], p.depth+1)
		if !ok {
			return false
		}
		test.list = append(test.list, sel)
		if s := sel.specificity(); s.compare(most) > 0 {
			most = s
		}
		if end == len(toks) {
			break
		}
		toks = toks[end+1:]
	}
	c.any = append(c.any, test)
	for i := range most {
		if name != "where" {
			c.specificity[i] += most[i]
		}
	}
	return true
}

// parseStep reads an+b, even or odd (CSS Syntax 3, 6).
func parseStep(text string) (step, offset int, ok bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	switch text {
	case "even":
		return 2, 0, true
	case "odd":
		return 2, 1, true
	}
	a, b, hasN := strings.Cut(text, "n")
	if !hasN {
		offset, err := strconv.Atoi(text)
		return 0, offset, err == nil
	}
	switch a {
	case "", "+":
		step = 1
	case "-":
		step = -1
	default:
		n, err := strconv.Atoi(a)
		if err != nil {
			return 0, 0, false
		}
		step = n
	}
	if b = strings.Join(strings.Fields(b), ""); b == "" {
		return step, 0, true
	}
	if b[0] != '+' && b[0] != '-' {
		return 0, 0, false
	}
	offset, err := strconv.Atoi(b)
	return step, offset, err == nil
}

// holds reports whether e passes the test.
func (t placeTest) holds(e Element) bool {
	switch t.name {
	case "root":
		return e.Parent() == nil
	case "empty":
		return e.Empty()
	}
	i, n := e.Place() // the root counts as a child without siblings
	first, last := i+1, n-i
	if strings.HasSuffix(t.name, "of-type") {
		first, last = numberOfType(e)
	}
	switch t.name {
	case "first-child", "first-of-type":
		return first == 1
	case "last-child", "last-of-type":
		return last == 1
	case "only-child", "only-of-type":
		return first == 1 && last == 1
	case "nth-last-child", "nth-last-of-type":
		return t.counts(last)
	}
	return t.counts(first)
}

// counts reports whether k is step·n + offset for a whole n from 0.
func (t placeTest) counts(k int) bool {
	d := k - t.offset
	if t.step == 0 {
		return d == 0
	}
	return d%t.step == 0 && d/t.step >= 0
}

// numberOfType returns the position of e among the siblings of its name, from
// 1, counted from the front and from the back. It is computed once for all
// siblings.
func numberOfType(e Element) (first, last int) {
	if e.Parent() == nil {
		return 1, 1
	}
	own := e.State()
	if own.typeIndex == 0 {
		_, n := e.Place()
		seen := map[string]int32{}
		for i := range n {
			s := e.Sibling(i)
			seen[s.Name()]++
			s.State().typeIndex = seen[s.Name()]
		}
		for i := range n {
			s := e.Sibling(i)
			s.State().typeCount = seen[s.Name()]
		}
	}
	return int(own.typeIndex), int(own.typeCount - own.typeIndex + 1)
}

// matchesAny reports whether e passes the test.
func (c *Cascade) matchesAny(t anyOf, e Element) bool {
	return t.negated != slices.ContainsFunc(t.list, func(s selector) bool { return c.matches(s, e) })
}
