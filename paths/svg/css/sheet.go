package css

import (
	"fmt"
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"

	"weftplot/paths/svg/lex"
)

// styleTokens returns the tokens of a style sheet or attribute of n.
func (c *Cascade) styleTokens(e Element, text string) []token {
	toks := tokens(text)
	if len(toks) > maxTokens {
		c.report.Halt(e, fmt.Sprintf("its style is longer than %d words and marks, the most that are read", maxTokens))
		return nil
	}
	return toks
}

// decl is one declaration of a style: a property and its value as written.
type decl struct {
	name, value string
	important   bool
}

// declarations reads the text between braces, or of a style attribute. A
// declaration in error is left out, and so is a property that does not affect
// line work.
func declarations(toks []token) []decl {
	var out []decl
	for len(toks) > 0 {
		end := find(toks, lexer.SemicolonToken)
		if d, ok := declarationIn(toks[:end]); ok {
			out = append(out, d)
		}
		toks = toks[min(end+1, len(toks)):]
	}
	return out
}

func declarationIn(toks []token) (decl, bool) {
	toks = trim(toks)
	if len(toks) == 0 || toks[0].kind != lexer.IdentToken && toks[0].kind != lexer.CustomPropertyNameToken {
		return decl{}, false
	}
	name, custom := toks[0].text, strings.HasPrefix(toks[0].text, "--")
	if !custom {
		name = strings.ToLower(name)
	}
	toks = trim(toks[1:])
	if _, known := properties[name]; !known && !custom || len(toks) == 0 || toks[0].kind != lexer.ColonToken {
		return decl{}, false
	}
	toks = trim(toks[1:])
	important := false
	if n := len(toks); n >= 2 && toks[n-1].kind == lexer.IdentToken && strings.EqualFold(toks[n-1].text, "important") {
		if rest := trim(toks[:n-1]); len(rest) > 0 && rest[len(rest)-1].text == "!" {
			important, toks = true, trim(rest[:len(rest)-1])
		}
	}
	return decl{name, join(toks), important}, len(toks) > 0 || custom
}

// AddSheet reads the rules of the style sheet that e holds; they come after those
// of the sheets added before. Rules that are not understood are left out, with a
// note to the [Reporter].
func (c *Cascade) AddSheet(e Element, text string) {
	c.addRules(e, c.styleTokens(e, text), 0)
}

// maxRules bounds the rules of all style sheets.
const maxRules = 50_000

// maxMedia bounds how deep media rules nest.
const maxMedia = 8

func (c *Cascade) addRules(e Element, toks []token, depth int) {
	for toks = trim(toks); len(toks) > 0; toks = trim(toks) {
		if toks[0].kind == lexer.AtKeywordToken {
			toks = c.atRule(e, toks, depth)
			continue
		}
		open := find(toks, lexer.LeftBraceToken)
		prelude := toks[:open]
		var body []token
		body, toks = block(toks[open:])
		if decls := declarations(body); len(decls) > 0 {
			if refused := c.rules.add(prelude, decls); refused != "" {
				c.report.Note(e, "selector-not-read", fmt.Sprintf("Style rules for %q are not applied, as the selector is not understood.", lex.Excerpt(refused)))
			}
		}
		if c.rules.n > maxRules {
			c.report.Halt(e, fmt.Sprintf("the style sheets have more than %d rules, the most that are read", maxRules))
			return
		}
	}
}

// block returns the tokens within the braces that toks begin with, and those
// that follow.
func block(toks []token) (body, rest []token) {
	if len(toks) == 0 {
		return nil, nil
	}
	end := find(toks[1:], lexer.RightBraceToken) + 1
	return toks[1:min(end, len(toks))], toks[min(end+1, len(toks)):]
}

// atRule skips an at-rule, or reads the rules in it when it is for any screen.
func (c *Cascade) atRule(e Element, toks []token, depth int) (rest []token) {
	name := strings.ToLower(toks[0].text)
	semi, open := find(toks, lexer.SemicolonToken), find(toks, lexer.LeftBraceToken)
	if semi < open {
		if name == "@import" {
			c.report.Note(e, "style-sheet-not-read", "A style sheet outside the file is not read; lines may be drawn that it hides.")
		}
		return toks[semi+1:]
	}
	body, rest := block(toks[open:])
	if name == "@media" {
		switch query := join(trim(toks[1:open])); {
		case ForScreen(query) && depth < maxMedia:
			c.addRules(e, body, depth+1)
		default:
			c.report.Note(e, "media-rule-not-read", fmt.Sprintf("Style rules for the medium %q are not applied.", lex.Excerpt(query)))
		}
	}
	return rest
}

// ForScreen reports whether a media query holds wherever pictures are shown;
// one with conditions is assumed not to.
func ForScreen(query string) bool {
	for _, q := range strings.Split(query, ",") {
		switch strings.ToLower(strings.Join(strings.Fields(q), " ")) {
		case "", "all", "screen", "only all", "only screen", "not print", "not speech":
			return true
		}
	}
	return false
}
