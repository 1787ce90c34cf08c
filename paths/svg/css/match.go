package css

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// rule is one selector with its declarations.
type rule struct {
	sel   selector
	decls []decl
	spec  specificity
	order int
}

// ruleIndex finds the rules that may match an element by what its selector
// asks of the element itself: an id, else a class, else the type.
type ruleIndex struct {
	id, class, tag map[string][]*rule
	any            []*rule
	n              int
}

// add reads the list of selectors before a block. One that cannot be read is
// left out, and the others count, since it may be valid and only unknown here.
// The first one left out is returned, unless it can never match a still
// picture.
func (x *ruleIndex) add(prelude []token, decls []decl) (refused string) {
	var sels []selector
	for rest := prelude; ; {
		end := find(rest, lexer.CommaToken)
		sel, ok := parseSelector(rest[:end])
		if ok {
			sels = append(sels, sel)
		} else if text := join(trim(rest[:end])); refused == "" && !dynamic.MatchString(text) {
			refused = text
		}
		if end >= len(rest) {
			break
		}
		rest = rest[end+1:]
	}
	if x.id == nil {
		x.id, x.class, x.tag = map[string][]*rule{}, map[string][]*rule{}, map[string][]*rule{}
	}
	for _, sel := range sels {
		r := &rule{sel: sel, decls: decls, spec: sel.specificity(), order: x.n}
		x.n++
		switch last := sel[len(sel)-1]; {
		case len(last.id) > 0:
			x.id[last.id[0]] = append(x.id[last.id[0]], r)
		case len(last.class) > 0:
			x.class[last.class[0]] = append(x.class[last.class[0]], r)
		case last.tag != "":
			x.tag[last.tag] = append(x.tag[last.tag], r)
		default:
			x.any = append(x.any, r)
		}
	}
	return refused
}

// dynamic finds selectors of states and of parts that are not elements, which never
// match in a drawing.
var dynamic = regexp.MustCompile(`:(hover|active|focus|focus-within|focus-visible|visited|target|:)`)

// maxSteps bounds the tests of compounds against elements in one file.
const maxSteps = 20_000_000

// matchCost is what applying a rule costs, in tests.
const matchCost = 8

// matching returns the rules that match e, the weakest first.
func (c *Cascade) matching(e Element) []*rule {
	x := &c.rules
	if x.n == 0 {
		return nil
	}
	var out []*rule
	try := func(rules []*rule) {
		for _, r := range rules {
			if c.steps > maxSteps {
				c.report.Halt(e, fmt.Sprintf("the style sheets take too long to apply: more than %d tests of selectors", maxSteps))
				return
			}
			if c.matches(r.sel, e) {
				out = append(out, r)
				c.steps += matchCost
			}
		}
	}
	if id := attributeText(e, "id"); id != "" {
		try(x.id[id])
	}
	for _, class := range unique(strings.Fields(attributeText(e, "class"))) {
		try(x.class[class])
	}
	try(x.tag[e.Name()])
	try(x.any)
	slices.SortFunc(out, func(a, b *rule) int {
		if by := a.spec.compare(b.spec); by != 0 {
			return by
		}
		return a.order - b.order
	})
	return out
}

func unique(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

// matches reports whether the selector matches e, from right to left. It tries
// every ancestor or sibling that a combinator allows, and counts each against
// the budget of steps.
func (c *Cascade) matches(sel selector, e Element) bool {
	c.steps += 1 + e.Size()/64
	if c.steps > maxSteps || !c.matchesCompound(&sel[len(sel)-1], e) {
		return false
	}
	rest := sel[:len(sel)-1]
	switch sel[len(sel)-1].combinator {
	case 0:
		return true
	case '>':
		p := e.Parent()
		return p != nil && c.matches(rest, p)
	case ' ':
		for a := e.Parent(); a != nil; a = a.Parent() {
			if c.matches(rest, a) {
				return true
			}
		}
	case '+':
		b := before(e)
		return b != nil && c.matches(rest, b)
	case '~':
		for b := before(e); b != nil; b = before(b) {
			if c.matches(rest, b) {
				return true
			}
		}
	}
	return false
}

// before returns the sibling before e, nil for the first.
func before(e Element) Element {
	i, _ := e.Place()
	if i == 0 {
		return nil
	}
	return e.Sibling(i - 1)
}

func (c *Cascade) matchesCompound(sel *compound, e Element) bool {
	if sel.tag != "" && sel.tag != e.Name() {
		return false
	}
	for _, id := range sel.id {
		if attributeText(e, "id") != id {
			return false
		}
	}
	if len(sel.class) > 0 {
		have := strings.Fields(attributeText(e, "class"))
		for _, want := range sel.class {
			if !slices.Contains(have, want) {
				return false
			}
		}
	}
	for _, t := range sel.attr {
		if !t.matches(e) {
			return false
		}
	}
	for _, p := range sel.places {
		if !p.holds(e) {
			return false
		}
	}
	for _, t := range sel.any {
		if !c.matchesAny(t, e) {
			return false
		}
	}
	return true
}

func (t attrTest) matches(e Element) bool {
	have, ok := attribute(e, t.name)
	if !ok {
		return false
	}
	want := t.value
	if t.fold {
		have, want = strings.ToLower(have), strings.ToLower(want)
	}
	switch t.op {
	case "=":
		return have == want
	case "~=":
		return slices.Contains(strings.Fields(have), want)
	case "|=":
		return have == want || strings.HasPrefix(have, want+"-")
	case "^=":
		return want != "" && strings.HasPrefix(have, want)
	case "$=":
		return want != "" && strings.HasSuffix(have, want)
	case "*=":
		return want != "" && strings.Contains(have, want)
	}
	return true
}
