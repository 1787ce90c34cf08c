package css

import (
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// URL returns the id of a url(#id) at the front of a value, and what follows
// it. The id is empty when the reference leads out of the file; ok is false
// when the value does not begin with url().
func URL(value string) (id, rest string, ok bool) {
	end := strings.IndexByte(value, ')')
	if len(value) < 5 || !strings.EqualFold(value[:4], "url(") || end < 0 {
		return "", "", false
	}
	ref := strings.Trim(strings.TrimSpace(value[4:end]), `"'`)
	if name, local := strings.CutPrefix(strings.TrimSpace(ref), "#"); local {
		id = name
	}
	return id, strings.TrimSpace(value[end+1:]), true
}

// PathFunction returns the path data in path("..."). ok is false for any other
// value.
func PathFunction(value string) (data string, ok bool) {
	toks := trim(tokens(value))
	if len(toks) < 3 || !strings.EqualFold(toks[0].text, "path(") {
		return "", false
	}
	toks = trim(toks[1:])
	last := len(toks) - 1
	if toks[0].kind != lexer.StringToken || toks[last].kind != lexer.RightParenthesisToken || len(trim(toks[1:last])) > 0 {
		return "", false
	}
	return unescape(strings.Trim(toks[0].text, `"'`)), true
}
