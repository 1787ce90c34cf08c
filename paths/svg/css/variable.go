package css

import (
	"fmt"
	"maps"
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// Custom properties are inherited, and var() inserts their values into others
// (CSS Custom Properties 1). A file can make values double at every step, so
// each is bounded, and the work is counted with that of matching selectors.

// maxValue bounds the bytes of a value after its variables are replaced.
const maxValue = 1 << 16

// maxVars bounds how deep variables refer to others.
const maxVars = 32

func hasVar(value string) bool { return strings.Contains(strings.ToLower(value), "var(") }

// resolve gives s the custom properties of e, and returns the other properties
// of e with variables replaced. One that is then invalid counts as unset.
func (c *Cascade) resolve(e Element, s *Style) []decl {
	v := variables{c: c, inherited: s.vars, own: map[string]string{}, open: map[string]bool{}}
	props := e.State().props
	for _, d := range props {
		if strings.HasPrefix(d.name, "--") {
			v.own[d.name] = d.value
		}
	}
	s.vars = v.all(props)
	out := []decl{}
	for _, d := range props {
		if strings.HasPrefix(d.name, "--") {
			continue
		}
		if hasVar(d.value) {
			value, ok := v.put(d.value, 0)
			value = strings.TrimSpace(value)
			if valid := properties[d.name].valid; !ok || valid != nil && !wide(value) && !valid(value) {
				value = "unset"
			}
			d.value = value
		}
		out = append(out, d)
	}
	if c.steps > maxSteps {
		c.report.Halt(e, fmt.Sprintf("the style sheets take too long to apply: more than %d steps", maxSteps))
	}
	return out
}

// variables looks up the custom properties of one element.
type variables struct {
	c              *Cascade
	inherited, own map[string]string
	open           map[string]bool // being looked up, to catch references to themselves
}

// all returns every custom property among props, its own over the inherited.
func (v *variables) all(props []decl) map[string]string {
	if len(v.own) == 0 {
		return v.inherited
	}
	all := maps.Clone(v.inherited)
	if all == nil {
		all = map[string]string{}
	}
	v.c.steps += 16 * len(all)
	for _, d := range props {
		if !strings.HasPrefix(d.name, "--") {
			continue
		}
		delete(all, d.name)
		if value, ok := v.value(d.name, 0); ok {
			all[d.name] = value
		}
	}
	return all
}

// value returns a custom property with variables replaced. ok is false when it
// has no value.
func (v *variables) value(name string, depth int) (value string, ok bool) {
	raw, own := v.own[name]
	switch {
	case !own || strings.EqualFold(raw, "inherit") || strings.EqualFold(raw, "unset"):
		value, ok = v.inherited[name]
		return value, ok
	case strings.EqualFold(raw, "initial") || v.open[name] || depth > maxVars:
		return "", false
	}
	v.open[name] = true
	defer delete(v.open, name)
	return v.put(raw, depth+1)
}

// put returns the text with every var() in it replaced.
func (v *variables) put(text string, depth int) (string, bool) {
	if !hasVar(text) {
		return text, true
	}
	if depth > maxVars {
		return "", false
	}
	var b strings.Builder
	toks := tokens(text)
	for i := 0; i < len(toks); i++ {
		piece := toks[i].text
		if toks[i].kind == lexer.FunctionToken && strings.EqualFold(piece, "var(") {
			end := i + 1 + find(toks[i+1:], lexer.RightParenthesisToken)
			value, ok := v.reference(toks[i+1:end], depth)
			if !ok {
				return "", false
			}
			piece, i = value, end
		}
		b.WriteString(piece)
		if v.c.steps += 1 + len(piece)/16; b.Len() > maxValue || v.c.steps > maxSteps {
			return "", false
		}
	}
	return b.String(), true
}

// reference returns the value of a var(), given by the tokens in its brackets: a
// name and perhaps, after a comma, a fallback.
func (v *variables) reference(toks []token, depth int) (string, bool) {
	comma := find(toks, lexer.CommaToken)
	if value, ok := v.value(join(trim(toks[:comma])), depth); ok {
		return value, true
	}
	if comma == len(toks) {
		return "", false
	}
	return v.put(join(toks[comma+1:]), depth+1)
}
