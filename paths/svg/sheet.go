package svg

import (
	"strings"

	"github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
)

// token is one token of CSS (CSS Syntax 3).
type token struct {
	kind css.TokenType
	text string
}

// maxTokens bounds the tokens of one style sheet or attribute.
const maxTokens = 1_000_000

// tokens returns the tokens of text without its comments, and no more than
// maxTokens and one of them.
func tokens(text string) []token {
	var out []token
	lex := css.NewLexer(parse.NewInputString(text))
	for len(out) <= maxTokens {
		kind, data := lex.Next()
		switch kind {
		case css.ErrorToken:
			return out
		case css.CommentToken, css.CDOToken, css.CDCToken:
		default:
			out = append(out, token{kind, string(data)})
		}
	}
	return out
}

// styleTokens returns the tokens of a style sheet or attribute of n.
func (r *reader) styleTokens(n *node, text string) []token {
	toks := tokens(text)
	if len(toks) > maxTokens {
		r.halt(n, "its style is longer than %d words and marks, the most that are read", maxTokens)
		return nil
	}
	return toks
}

// decl is one declaration of a style: a property and its value as written.
type decl struct {
	name, value string
	important   bool
}

// declarations reads what stands between braces, or in a style attribute. A
// declaration in error is left out, and so is a property that line work has no
// use for.
func declarations(toks []token) []decl {
	var out []decl
	for len(toks) > 0 {
		end := find(toks, css.SemicolonToken)
		if d, ok := declarationIn(toks[:end]); ok {
			out = append(out, d)
		}
		toks = toks[min(end+1, len(toks)):]
	}
	return out
}

func declarationIn(toks []token) (decl, bool) {
	toks = trim(toks)
	if len(toks) == 0 || toks[0].kind != css.IdentToken && toks[0].kind != css.CustomPropertyNameToken {
		return decl{}, false
	}
	name, custom := toks[0].text, strings.HasPrefix(toks[0].text, "--")
	if !custom {
		name = strings.ToLower(name)
	}
	toks = trim(toks[1:])
	if _, known := properties[name]; !known && !custom || len(toks) == 0 || toks[0].kind != css.ColonToken {
		return decl{}, false
	}
	toks = trim(toks[1:])
	important := false
	if n := len(toks); n >= 2 && toks[n-1].kind == css.IdentToken && strings.EqualFold(toks[n-1].text, "important") {
		if rest := trim(toks[:n-1]); len(rest) > 0 && rest[len(rest)-1].text == "!" {
			important, toks = true, trim(rest[:len(rest)-1])
		}
	}
	return decl{name, join(toks), important}, len(toks) > 0 || custom
}

// find returns the index of the first token of the kind outside brackets of
// any sort, or the length.
func find(toks []token, kind css.TokenType) int {
	depth := 0
	for i, t := range toks {
		if depth == 0 && t.kind == kind {
			return i
		}
		depth = max(0, depth+nesting(t.kind))
	}
	return len(toks)
}

// nesting returns by how much a token goes deeper into brackets.
func nesting(kind css.TokenType) int {
	switch kind {
	case css.LeftBraceToken, css.LeftBracketToken, css.LeftParenthesisToken, css.FunctionToken:
		return 1
	case css.RightBraceToken, css.RightBracketToken, css.RightParenthesisToken:
		return -1
	}
	return 0
}

func trim(toks []token) []token {
	for len(toks) > 0 && toks[0].kind == css.WhitespaceToken {
		toks = toks[1:]
	}
	for len(toks) > 0 && toks[len(toks)-1].kind == css.WhitespaceToken {
		toks = toks[:len(toks)-1]
	}
	return toks
}

func join(toks []token) string {
	var b strings.Builder
	for _, t := range toks {
		b.WriteString(t.text)
	}
	return b.String()
}

// addSheets reads every style sheet of the file, in order.
func (r *reader) addSheets() {
	var visit func(n *node)
	visit = func(n *node) {
		if n.name == "style" && (n.attr("type") == "" || strings.EqualFold(n.attr("type"), "text/css")) && forScreen(n.attr("media")) {
			r.addSheet(n)
		}
		for _, c := range n.children {
			visit(c)
		}
	}
	visit(r.root)
}

// addSheet reads the rules of one style sheet.
func (r *reader) addSheet(n *node) {
	toks := r.styleTokens(n, string(n.text))
	n.text = nil
	r.addRules(n, toks, 0)
}

// maxRules bounds the rules of all style sheets.
const maxRules = 50_000

// maxMedia bounds how deep media rules nest.
const maxMedia = 8

func (r *reader) addRules(n *node, toks []token, depth int) {
	for toks = trim(toks); len(toks) > 0; toks = trim(toks) {
		if toks[0].kind == css.AtKeywordToken {
			toks = r.atRule(n, toks, depth)
			continue
		}
		open := find(toks, css.LeftBraceToken)
		prelude := toks[:open]
		var body []token
		body, toks = block(toks[open:])
		if decls := declarations(body); len(decls) > 0 {
			if refused := r.rules.add(prelude, decls); refused != "" {
				r.notes.add(n, "selector-not-read", "Style rules for %q are not applied, as the selector is not understood.", excerpt(refused))
			}
		}
		if r.rules.n > maxRules {
			r.halt(n, "the style sheets have more than %d rules, the most that are read", maxRules)
			return
		}
	}
}

// block returns what stands within the braces that toks begin with, and what
// follows them.
func block(toks []token) (body, rest []token) {
	if len(toks) == 0 {
		return nil, nil
	}
	end := find(toks[1:], css.RightBraceToken) + 1
	return toks[1:min(end, len(toks))], toks[min(end+1, len(toks)):]
}

// atRule skips an at-rule, or reads the rules in it when it is for any screen.
func (r *reader) atRule(n *node, toks []token, depth int) (rest []token) {
	name := strings.ToLower(toks[0].text)
	semi, open := find(toks, css.SemicolonToken), find(toks, css.LeftBraceToken)
	if semi < open {
		if name == "@import" {
			r.notes.add(n, "style-sheet-not-read", "A style sheet outside the file is not read; lines may be drawn that it hides.")
		}
		return toks[semi+1:]
	}
	body, rest := block(toks[open:])
	if name == "@media" {
		switch query := join(trim(toks[1:open])); {
		case forScreen(query) && depth < maxMedia:
			r.addRules(n, body, depth+1)
		default:
			r.notes.add(n, "media-rule-not-read", "Style rules for the medium %q are not applied.", excerpt(query))
		}
	}
	return rest
}

// forScreen reports whether a media query holds wherever pictures are shown;
// one with conditions is taken not to.
func forScreen(query string) bool {
	for _, q := range strings.Split(query, ",") {
		switch strings.ToLower(strings.Join(strings.Fields(q), " ")) {
		case "", "all", "screen", "only all", "only screen", "not print", "not speech":
			return true
		}
	}
	return false
}
