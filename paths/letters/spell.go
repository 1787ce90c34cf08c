package letters

import (
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/language"
	"golang.org/x/text/unicode/norm"
)

// spelling is how a character is written: a letter that has a drawing, and
// marks.
type spelling struct {
	base  rune
	marks []rune
}

// Marks that are not drawn as their Unicode names say; see [mark].
const (
	caronBeside rune = 0xE000 + iota // ď ť ľ Ľ: beside the letter, like an apostrophe
	commaBelow
	commaAbove // ģ
)

// commonMark replaces a mark of a letter by the one that is in use for it. The
// names of the characters are of the Unicode Standard; that these letters are
// written with a comma is its annotation in chapter 7, European alphabets.
func commonMark(base, mark rune) rune {
	switch mark {
	case '\u030c':
		if base == 'd' || base == 't' || base == 'l' || base == 'L' {
			return caronBeside
		}
	case '\u0327':
		switch base {
		case 'G', 'K', 'k', 'L', 'l', 'N', 'n', 'R', 'r', 'T', 't':
			return commaBelow
		case 'g':
			return commaAbove
		}
	case '\u0326':
		return commaBelow
	}
	return mark
}

// isAbove reports whether a mark is above its letter; i and j lose their dot
// under such a mark.
func isAbove(mark rune) bool {
	return mark != caronBeside && mark != commaBelow && mark != '\u0327' && mark != '\u0328'
}

// isMark reports whether r is drawn only together with a letter.
func isMark(r rune) bool {
	return r >= caronBeside && r <= commaAbove || unicode.Is(unicode.Mn, r)
}

// spell returns how a character is written, one spelling for each letter, as
// some characters stand for two. A character is a letter with the marks that
// follow it, in composed form.
func (a *alphabet) spell(char string) ([]spelling, bool) {
	r, size := utf8.DecodeRuneInString(char)
	if isMark(r) {
		return nil, false
	}
	if size == len(char) {
		if _, drawn := a.drawings()[r]; drawn {
			return []spelling{{base: r}}, true
		}
	}
	if s, ok := a.marked([]rune(norm.NFD.String(char))); ok {
		return []spelling{s}, true
	}
	return a.instead(char)
}

// marked spells a letter with marks, as decomposed.
func (a *alphabet) marked(parts []rune) (spelling, bool) {
	s := spelling{base: parts[0]}
	if _, drawn := a.drawings()[s.base]; !drawn && a.capitals {
		up := []rune(cases.Upper(language.Und).String(string(s.base)))
		if len(up) == 1 {
			s.base = up[0]
		}
	}
	for _, m := range parts[1:] {
		m = commonMark(s.base, m)
		if _, ok := a.drawings()[m]; !ok {
			return s, false
		}
		s.marks = append(s.marks, m)
	}
	for _, m := range s.marks {
		if dotless, ok := map[rune]rune{'i': 'ı', 'j': 'ȷ'}[s.base]; ok && isAbove(m) {
			s.base = dotless
		}
	}
	_, ok := a.drawings()[s.base]
	return s, ok
}

// instead spells a character with others of the same meaning: a small letter
// with its capital where the alphabet has only capitals, and a character that
// Unicode calls compatible with a sequence by that sequence.
func (a *alphabet) instead(char string) ([]spelling, bool) {
	text := char
	if a.capitals {
		text = cases.Upper(language.Und).String(text)
	}
	if text == char {
		r, _ := utf8.DecodeRuneInString(char)
		if !unicode.IsLetter(r) && !unicode.IsSpace(r) && r != '…' {
			return nil, false
		}
		text = norm.NFKD.String(text)
	}
	if text = norm.NFC.String(text); text == char {
		return nil, false
	}
	var out []spelling
	for _, c := range characters(text) {
		s, ok := a.spell(c)
		if !ok {
			return nil, false
		}
		out = append(out, s...)
	}
	return out, true
}

// characters cuts a text into letters with the marks that follow them, composed.
func characters(text string) []string {
	var out []string
	var it norm.Iter
	for it.InitString(norm.NFC, text); !it.Done(); {
		out = append(out, string(it.Next()))
	}
	return out
}
