package css

import (
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// We have our own small selector matcher because a file decides how many
// selectors there are and how complex: matching uses an index and a budget of
// steps, which no library offers. They follow Selectors 4 as far as SVG style
// sheets go: type, universal, class, id and attribute selectors, the structural
// pseudo-classes (pseudo.go), :not(), :is() and :where() of whole selectors,
// and the four combinators. A selector with anything else never matches.

// compound is a run of simple selectors about one element.
type compound struct {
	tag         string // "" for any
	id          []string
	class       []string
	attr        []attrTest
	places      []placeTest
	any         []anyOf
	combinator  byte // before it: ' ', '>', '+', '~'; 0 for the first
	specificity specificity
}

type attrTest struct {
	name, value string
	op          string // "" when the attribute only has to be present
	fold        bool
}

// specificity counts ids, then classes and the like, then types (Selectors 4, 17).
type specificity [3]int

func (s specificity) compare(t specificity) int {
	for i := range s {
		if s[i] != t[i] {
			return s[i] - t[i]
		}
	}
	return 0
}

// selector is compounds from left to right.
type selector []compound

func (s selector) specificity() specificity {
	var sum specificity
	for _, c := range s {
		for i := range sum {
			sum[i] += c.specificity[i]
		}
	}
	return sum
}

// parseSelector reads one selector. ok is false when it is in error or holds
// something unknown.
func parseSelector(toks []token) (selector, bool) { return parseNested(toks, 0) }

// maxNesting bounds how deep selectors nest.
const maxNesting = 4

func parseNested(toks []token, depth int) (selector, bool) {
	p := selectorParser{toks: trim(toks), depth: depth}
	var out selector
	comb := byte(0)
	for {
		c, ok := p.compound()
		if !ok {
			return nil, false
		}
		c.combinator = comb
		out = append(out, c)
		if len(p.toks) == 0 {
			return out, true
		}
		if comb = p.combinator(); comb == 0 || len(out) == maxCompounds {
			return nil, false
		}
	}
}

// maxCompounds bounds the compounds of one selector, far beyond what people and
// programs write.
const maxCompounds = 32

type selectorParser struct {
	toks  []token
	depth int
}

func (p *selectorParser) next() token {
	if len(p.toks) == 0 {
		return token{}
	}
	t := p.toks[0]
	p.toks = p.toks[1:]
	return t
}

func (p *selectorParser) peek() token {
	if len(p.toks) == 0 {
		return token{}
	}
	return p.toks[0]
}

// combinator reads what is between two compounds, 0 for an error.
func (p *selectorParser) combinator() byte {
	blank := p.peek().kind == lexer.WhitespaceToken
	p.toks = trim(p.toks)
	if t := p.peek(); t.kind == lexer.DelimToken && len(t.text) == 1 && strings.Contains(">+~", t.text) {
		p.toks = trim(p.toks[1:])
		return t.text[0]
	}
	if blank {
		return ' '
	}
	return 0
}

// compound reads simple selectors up to a combinator or the end.
func (p *selectorParser) compound() (compound, bool) {
	var c compound
	n := len(p.toks)
	for len(p.toks) > 0 {
		more, ok := p.simple(&c, len(p.toks) == n)
		if !ok {
			return c, false
		}
		if !more {
			break
		}
	}
	return c, len(p.toks) < n
}

// simple reads one simple selector into c; only the first may name a type. more
// is false, and nothing is read, where none begins.
func (p *selectorParser) simple(c *compound, first bool) (more, ok bool) {
	switch t := p.peek(); t.kind {
	case lexer.IdentToken:
		if !first {
			return false, true
		}
		p.next()
		c.tag = unescape(t.text)
		c.specificity[2]++
	case lexer.DelimToken:
		return p.delimited(c, first)
	case lexer.HashToken:
		p.next()
		c.id = append(c.id, unescape(t.text[1:]))
		c.specificity[0]++
	case lexer.LeftBracketToken:
		return true, p.attribute(c)
	case lexer.ColonToken:
		return true, p.pseudo(c)
	default:
		return false, true
	}
	return true, true
}

// delimited reads a simple selector that begins with a mark.
func (p *selectorParser) delimited(c *compound, first bool) (more, ok bool) {
	switch t := p.peek(); {
	case t.text == "*" && first:
		p.next()
	case t.text == "|": // a namespace before it; all are SVG's here
		p.next()
		c.tag, c.specificity[2] = "", 0
		if t := p.next(); t.kind == lexer.IdentToken {
			c.tag, c.specificity[2] = unescape(t.text), 1
		} else if t.text != "*" {
			return false, false
		}
	case t.text == ".":
		p.next()
		name := p.next()
		if name.kind != lexer.IdentToken {
			return false, false
		}
		c.class = append(c.class, unescape(name.text))
		c.specificity[1]++
	default:
		return false, true
	}
	return true, true
}

// attribute reads [name], [name=value] and their kind.
func (p *selectorParser) attribute(c *compound) bool {
	p.next()
	p.toks = trim(p.toks)
	name := p.next()
	if name.kind != lexer.IdentToken {
		return false
	}
	test := attrTest{name: unescape(name.text)}
	p.toks = trim(p.toks)
	if t := p.peek(); t.kind != lexer.RightBracketToken {
		test.op = p.next().text
		if !attrOps[test.op] {
			return false
		}
		p.toks = trim(p.toks)
		switch v := p.next(); v.kind {
		case lexer.IdentToken:
			test.value = unescape(v.text)
		case lexer.StringToken:
			test.value = unescape(strings.Trim(v.text, `"'`))
		default:
			return false
		}
		p.toks = trim(p.toks)
		if t := p.peek(); t.kind == lexer.IdentToken && (strings.EqualFold(t.text, "i") || strings.EqualFold(t.text, "s")) {
			test.fold = strings.EqualFold(t.text, "i")
			p.next()
			p.toks = trim(p.toks)
		}
	}
	c.attr = append(c.attr, test)
	c.specificity[1]++
	return p.next().kind == lexer.RightBracketToken
}

var attrOps = map[string]bool{"=": true, "~=": true, "|=": true, "^=": true, "$=": true, "*=": true}
