package letters

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"

	"weftplot/paths/fault"
)

// Limits of what is set at once.
const (
	maxRunes  = 200_000
	maxHeight = 2000 // rows
)

// joining are scripts written from left to right whose letters change with
// their neighbours. Scripts from right to left are recognised by their
// direction.
var joining = []string{
	"Bengali", "Devanagari", "Gujarati", "Gurmukhi", "Kannada", "Khmer", "Lao", "Malayalam",
	"Mongolian", "Myanmar", "Oriya", "Phags_Pa", "Sinhala", "Tamil", "Telugu", "Thai", "Tibetan",
}

// lines cuts a text into its lines, in composed form. The error is for a
// character that no alphabet writes.
func lines(text string) ([]string, error) {
	text = strings.ReplaceAll(norm.NFC.String(text), "\r\n", "\n")
	if n := len([]rune(text)); n > maxRunes {
		return nil, fault.Bad("", "set it in parts", "the text has %d characters; %d are set at once", n, maxRunes)
	}
	out := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	letters := false
	for i, line := range out {
		for j, char := range characters(line) {
			for _, r := range char {
				if err := refuse(r, place(len(out), i, j)); err != nil {
					return nil, err
				}
				letters = letters || !unicode.IsSpace(r)
			}
		}
	}
	if !letters {
		return nil, fault.Bad("", "give the words to be set", "there are no letters in the text")
	}
	return out, nil
}

// place says in words where a character is.
func place(lines, line, char int) string {
	if lines == 1 {
		return fmt.Sprintf("character %d", char+1)
	}
	return fmt.Sprintf("line %d, character %d", line+1, char+1)
}

// refuse returns an error for a character that no alphabet writes.
func refuse(r rune, where string) error {
	switch {
	case r == '\t':
		return fault.Bad(where, "put spaces in its place", "a tab has no width in letters")
	case r == unicode.ReplacementChar:
		return fault.Bad(where, "give the text as UTF-8", "the text holds bytes that are no characters")
	case unicode.IsControl(r), unicode.In(r, unicode.Cf):
		return fault.Bad(where, "leave it out", "U+%04X is a control character, which has no shape", r)
	}
	script := scriptOf(r)
	if p, _ := bidi.LookupRune(r); p.Class() == bidi.R || p.Class() == bidi.AL {
		return fault.Bad(where, "draw it in a drawing program and give it as a design",
			"'%c' is %s, a script that runs from right to left; such scripts are not written", r, script)
	}
	for _, name := range joining {
		if script == name {
			return fault.Bad(where, "draw it in a drawing program and give it as a design",
				"'%c' is %s, a script whose letters join or change by their neighbours; such scripts are not written", r, script)
		}
	}
	return nil
}

// scriptOf returns the name that Unicode gives a character's script, "" where it
// has none.
func scriptOf(r rune) string {
	for name, table := range unicode.Scripts {
		if unicode.Is(table, r) { // a character belongs to one script
			return name
		}
	}
	return ""
}

// missing returns the error for a character that alphabet a does not write.
func (a Alphabet) missing(char, where string) error {
	do := "write it another way"
	if other := a.otherThan(char); other != "" {
		do = "the alphabet " + other + " has it"
	} else if parts := characters(norm.NFKD.String(char)); len(parts) > 0 && parts[0] != char {
		if _, ok := a.spell(parts[0]); ok {
			do = fmt.Sprintf("write '%s' in its place, or leave it out", parts[0])
		}
	} else if first := []rune(norm.NFD.String(char))[0]; a.Covers(first) {
		do = fmt.Sprintf("write '%c' in its place, or leave it out", first)
	}
	r, _ := utf8.DecodeRuneInString(char)
	if isMark(r) {
		return fault.Bad(where, "put it after the letter that it belongs to, or leave it out", "U+%04X is a mark without a letter", r)
	}
	what := fmt.Sprintf("the alphabet %s has no '%s' (%s)", a.name, char, codes(char))
	if s := scriptOf(r); s != "" && s != "Latin" && s != "Common" && s != "Inherited" {
		do = "the alphabets write Latin letters only: write it in those"
		what += ", a letter of the script " + s
	}
	return fault.Bad(where, do, "%s", what)
}

// codes returns the numbers of a character's parts in Unicode.
func codes(char string) string {
	var out []string
	for _, r := range char {
		out = append(out, fmt.Sprintf("U+%04X", r))
	}
	return strings.Join(out, " ")
}

// otherThan returns the name of another alphabet that writes a character, "" for none.
func (a Alphabet) otherThan(char string) string {
	for _, b := range alphabets() {
		if _, ok := b.spell(char); ok && b.name != a.name {
			return b.name
		}
	}
	return ""
}
