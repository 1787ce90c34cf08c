package svg

import (
	"strings"

	"github.com/tdewolff/parse/v2/css"
)

// parseFontShorthand reads the font property: style, variant, weight and
// stretch in any order, the size, perhaps a line height, and the families (CSS
// Fonts 4, 2.8). It returns none for what is an error.
func parseFontShorthand(value string) []decl {
	out := []decl{{name: "font-style", value: "normal"}, {name: "font-weight", value: "normal"}}
	for toks := trim(tokens(value)); len(toks) > 0; toks = trim(toks[1:]) {
		t := strings.ToLower(toks[0].text)
		size, isLength := parseLength(t)
		_, named := fontSizes[t]
		switch {
		case named || t == "larger" || t == "smaller" || isLength && size.unit != "":
			family := afterSize(toks[1:])
			if family == "" {
				return nil
			}
			return append(out, decl{name: "font-size", value: t}, decl{name: "font-family", value: family})
		case t == "italic" || t == "oblique":
			out = append(out, decl{name: "font-style", value: t})
		case t == "bold" || t == "bolder" || t == "lighter" || isLength:
			out = append(out, decl{name: "font-weight", value: t})
		case toks[0].kind != css.IdentToken: // else normal, a variant or a stretch
			return nil
		}
	}
	return nil
}

// afterSize returns the families that stand after the size and a line height,
// which is of no use here.
func afterSize(toks []token) string {
	if toks = trim(toks); len(toks) > 1 && toks[0].text == "/" {
		toks = trim(toks[1:])[1:]
	}
	return join(trim(toks))
}

// pathFunction returns the path data in path("...").
func pathFunction(value string) (string, bool) {
	toks := trim(tokens(value))
	if len(toks) < 3 || !strings.EqualFold(toks[0].text, "path(") {
		return "", false
	}
	toks = trim(toks[1:])
	last := len(toks) - 1
	if toks[0].kind != css.StringToken || toks[last].kind != css.RightParenthesisToken || len(trim(toks[1:last])) > 0 {
		return "", false
	}
	return unescape(strings.Trim(toks[0].text, `"'`)), true
}
