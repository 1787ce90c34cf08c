package css

import (
	"strings"

	"github.com/tdewolff/parse/v2"
	lexer "github.com/tdewolff/parse/v2/css"

	"weftplot/paths/svg/lex"
)

// token is one token of CSS (CSS Syntax 3).
type token struct {
	kind lexer.TokenType
	text string
}

// maxTokens bounds the tokens of one style sheet or attribute.
const maxTokens = 1_000_000

// tokens returns the tokens of text without its comments, and at most
// maxTokens+1 of them.
func tokens(text string) []token {
	var out []token
	lex := lexer.NewLexer(parse.NewInputString(text))
	for len(out) <= maxTokens {
		kind, data := lex.Next()
		switch kind {
		case lexer.ErrorToken:
			return out
		case lexer.CommentToken, lexer.CDOToken, lexer.CDCToken:
		default:
			out = append(out, token{kind, string(data)})
		}
	}
	return out
}

// find returns the index of the first token of the kind outside brackets of
// any sort, or the length.
func find(toks []token, kind lexer.TokenType) int {
	depth := 0
	for i, t := range toks {
		if depth == 0 && t.kind == kind {
			return i
		}
		depth = max(0, depth+nesting(t.kind))
	}
	return len(toks)
}

// nesting returns by how much a token changes the depth of brackets.
func nesting(kind lexer.TokenType) int {
	switch kind {
	case lexer.LeftBraceToken, lexer.LeftBracketToken, lexer.LeftParenthesisToken, lexer.FunctionToken:
		return 1
	case lexer.RightBraceToken, lexer.RightBracketToken, lexer.RightParenthesisToken:
		return -1
	}
	return 0
}

func trim(toks []token) []token {
	for len(toks) > 0 && toks[0].kind == lexer.WhitespaceToken {
		toks = toks[1:]
	}
	for len(toks) > 0 && toks[len(toks)-1].kind == lexer.WhitespaceToken {
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

// unescape undoes backslashes before plain characters and before code points
// (CSS Syntax 3, 4.3.7).
func unescape(s string) string {
	if !strings.Contains(s, `\`) {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' || i+1 == len(s) {
			b.WriteByte(s[i])
			continue
		}
		i++
		r, n := rune(0), 0
		for n < 6 && i+n < len(s) && lex.HexValue(s[i+n]) >= 0 {
			r = r<<4 | rune(lex.HexValue(s[i+n]))
			n++
		}
		if n == 0 {
			b.WriteByte(s[i])
			continue
		}
		b.WriteRune(r)
		if i += n - 1; i+1 < len(s) && lex.IsSpace(s[i+1]) {
			i++
		}
	}
	return b.String()
}
