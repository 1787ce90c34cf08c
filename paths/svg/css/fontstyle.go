package css

import (
	"strings"

	lexer "github.com/tdewolff/parse/v2/css"
)

// parseFontShorthand reads the font property: style, variant, weight and
// stretch in any order, the size, perhaps a line height, and the families (CSS
// Fonts 4, 2.8). It returns none for a value in error.
func parseFontShorthand(value string) []decl {
	out := []decl{{name: "font-style", value: "normal"}, {name: "font-weight", value: "normal"}}
	for toks := trim(tokens(value)); len(toks) > 0; toks = trim(toks[1:]) {
		t := strings.ToLower(toks[0].text)
		size, isLength := ParseLength(t)
		_, named := fontSizes[t]
		switch {
		case named || t == "larger" || t == "smaller" || isLength && size.Unit != "":
			family := afterSize(toks[1:])
			if family == "" {
				return nil
			}
			return append(out, decl{name: "font-size", value: t}, decl{name: "font-family", value: family})
		case t == "italic" || t == "oblique":
			out = append(out, decl{name: "font-style", value: t})
		case t == "bold" || t == "bolder" || t == "lighter" || isLength:
			out = append(out, decl{name: "font-weight", value: t})
		case toks[0].kind != lexer.IdentToken: // else normal, a variant or a stretch
			return nil
		}
	}
	return nil
}

// afterSize returns the families, which follow the size and perhaps a line height.
func afterSize(toks []token) string {
	if toks = trim(toks); len(toks) > 1 && toks[0].text == "/" {
		toks = trim(toks[1:])[1:]
	}
	return join(trim(toks))
}
