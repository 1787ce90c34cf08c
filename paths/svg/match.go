package svg

import (
	"regexp"
	"slices"
	"strings"

	"github.com/tdewolff/parse/v2/css"
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
// left out and the others stand, since it may be right and only unknown here;
// the first such is returned, unless it can never match a picture that stands
// still.
func (x *ruleIndex) add(prelude []token, decls []decl) (refused string) {
	var sels []selector
	for rest := prelude; ; {
		end := find(rest, css.CommaToken)
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

// dynamic finds what depends on a pointer, a link or a part that is no element.
var dynamic = regexp.MustCompile(`:(hover|active|focus|focus-within|focus-visible|visited|target|:)`)

// maxSteps bounds the tests of compounds against elements in one file.
const maxSteps = 20_000_000

// matchCost is what applying a rule costs, in tests.
const matchCost = 8

// matching returns the rules that match n, the weakest first.
func (r *reader) matching(n *node) []*rule {
	x := &r.rules
	if x.n == 0 {
		return nil
	}
	var out []*rule
	try := func(rules []*rule) {
		for _, ru := range rules {
			if r.steps > maxSteps {
				r.halt(n, "the style sheets take too long to apply: more than %d tests of selectors", maxSteps)
				return
			}
			if r.matches(ru.sel, n) {
				out = append(out, ru)
				r.steps += matchCost
			}
		}
	}
	if id := n.attr("id"); id != "" {
		try(x.id[id])
	}
	for _, c := range unique(strings.Fields(n.attr("class"))) {
		try(x.class[c])
	}
	try(x.tag[n.name])
	try(x.any)
	slices.SortFunc(out, func(a, b *rule) int {
		if c := a.spec.compare(b.spec); c != 0 {
			return c
		}
		return a.order - b.order
	})
	return out
}

func unique(list []string) []string {
	slices.Sort(list)
	return slices.Compact(list)
}

// matches reports whether the selector matches n, from right to left. It tries
// every ancestor or sibling that a combinator allows, on the budget of steps.
func (r *reader) matches(sel selector, n *node) bool {
	r.steps += 1 + n.size/64
	if r.steps > maxSteps || !r.matchesCompound(&sel[len(sel)-1], n) {
		return false
	}
	rest := sel[:len(sel)-1]
	switch sel[len(sel)-1].combinator {
	case 0:
		return true
	case '>':
		return n.parent != nil && r.matches(rest, n.parent)
	case ' ':
		for a := n.parent; a != nil; a = a.parent {
			if r.matches(rest, a) {
				return true
			}
		}
	case '+':
		b := n.before()
		return b != nil && r.matches(rest, b)
	case '~':
		for b := n.before(); b != nil; b = b.before() {
			if r.matches(rest, b) {
				return true
			}
		}
	}
	return false
}

// before returns the sibling element before n.
func (n *node) before() *node {
	if n.parent == nil || n.index == 0 {
		return nil
	}
	return n.parent.children[n.index-1]
}

func (r *reader) matchesCompound(c *compound, n *node) bool {
	if c.tag != "" && c.tag != n.name {
		return false
	}
	for _, id := range c.id {
		if n.attr("id") != id {
			return false
		}
	}
	if len(c.class) > 0 {
		have := strings.Fields(n.attr("class"))
		for _, want := range c.class {
			if !slices.Contains(have, want) {
				return false
			}
		}
	}
	for _, t := range c.attr {
		if !t.matches(n) {
			return false
		}
	}
	for _, p := range c.places {
		if !p.holds(n) {
			return false
		}
	}
	for _, t := range c.any {
		if !r.matchesAny(t, n) {
			return false
		}
	}
	return true
}

func (t attrTest) matches(n *node) bool {
	have, ok := n.lookup(t.name)
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
