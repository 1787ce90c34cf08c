// Package markup reads the tags and the text of an XML document, by the rules of package
// encoding/xml and several times as fast.
//
// Most tags of a drawing are plain: names in ASCII, values in quotes, no references. Those
// are read here, in one look at each byte, and their values are parts of one string. What
// is out of the ordinary is read by encoding/xml itself, token by token, so that every
// token, every error and every line is the one that it would give.
//
// It takes time in proportion to the document, and memory for one copy of it and for the
// attributes of the tags that are kept.
package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// Tokens reads the raw tokens of a document: names with their prefixes, and an empty
// element as two tokens. It is an [xml.TokenReader]; see [NewDecoder].
type Tokens struct {
	text  string
	bytes []byte // the same
	at    int    // the next byte
	line  int    // of it, from 1
	valid bool   // the text is UTF-8

	open  []xml.Name // the elements that are open
	empty bool       // the last of them has ended in its own tag
	names map[string]string
	attrs []xml.Attr // of one tag
	spare []xml.Attr // for those of tags to come
}

// ErrCrossed is the error of an end tag with another name than the element that is open.
// What encoding/xml makes of those depends on more than the tokens: such a document is to
// be read by it alone.
var ErrCrossed = errors.New("an end tag has another name than the element that is open")

// NewTokens returns a reader of the tokens of a text, which must not be changed while
// they are used.
func NewTokens(text []byte) *Tokens {
	return &Tokens{text: string(text), bytes: text, line: 1, valid: utf8.Valid(text), names: map[string]string{}}
}

// Token returns the next token, and io.EOF after the last.
func (t *Tokens) Token() (xml.Token, error) {
	if t.empty {
		t.empty = false
		return t.end(t.open[len(t.open)-1])
	}
	if t.at >= len(t.text) {
		return nil, io.EOF
	}
	if t.valid {
		if tok, err := t.plain(); tok != nil || err != nil {
			return tok, err
		}
	}
	return t.odd()
}

// comment is the token of every comment: nobody asks what it says.
var comment xml.Token = xml.Comment(nil)

// plain reads a token that is plain; it returns nil where it is not, having read nothing.
func (t *Tokens) plain() (xml.Token, error) {
	rest := t.text[t.at:]
	switch {
	case rest[0] != '<':
		n := strings.IndexByte(rest, '<')
		if n < 0 {
			n = len(rest)
		}
		if strings.Contains(rest[:n], "]]>") {
			return nil, nil
		}
		return t.chars(0, n, n, inText), nil
	case strings.HasPrefix(rest, "<!--"):
		n := strings.Index(rest[4:], "--")
		if n < 0 || !strings.HasPrefix(rest[4+n:], "-->") {
			return nil, nil
		}
		t.pass(n + 7)
		return comment, nil
	case strings.HasPrefix(rest, cdata):
		n := strings.Index(rest[len(cdata):], "]]>")
		if n < 0 {
			return nil, nil
		}
		return t.chars(len(cdata), len(cdata)+n, len(cdata)+n+3, inSection), nil
	case strings.HasPrefix(rest, "</"):
		return t.endTag(rest)
	}
	return t.startTag(rest), nil
}

const cdata = "<![CDATA["

// pass passes over n bytes.
func (t *Tokens) pass(n int) {
	t.line += strings.Count(t.text[t.at:t.at+n], "\n")
	t.at += n
}

// What a byte is, as far as it decides whether text is plain.
const (
	nameStart = 1 << iota // a name may begin with it
	inName
	inValue   // it may stand in an attribute's value, beside the quote that ends it
	inText    // it may stand in text
	inSection // it may stand in a CDATA section
	blank
)

var kinds = func() (k [256]uint8) {
	for c := range k {
		b := byte(c)
		letter := 'a' <= b|0x20 && b|0x20 <= 'z' || b == '_'
		if letter {
			k[c] |= nameStart | inName
		}
		if '0' <= b && b <= '9' || b == '-' || b == '.' {
			k[c] |= inName
		}
		if b == ' ' || b == '\t' || b == '\n' || b == '\r' {
			k[c] |= blank
		}
		// U+FFFE and U+FFFF, which no document may hold, begin with 0xEF.
		if b != 0xEF && (b >= ' ' || k[c]&blank != 0) {
			k[c] |= inSection
			if b != '<' {
				k[c] |= inValue
			}
			if b != '&' && b != '<' {
				k[c] |= inText
			}
		}
	}
	return k
}()

// chars returns the characters between two places of the rest, and passes over n bytes;
// nil where not all of them are of a kind.
func (t *Tokens) chars(from, to, n int, kind uint8) xml.Token {
	data := t.bytes[t.at+from : t.at+to]
	returns := false
	for _, b := range data {
		if kinds[b]&kind == 0 {
			return nil
		}
		returns = returns || b == '\r'
	}
	if returns {
		data = bytes.ReplaceAll(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	}
	t.pass(n)
	return xml.CharData(data)
}

// endTag reads an end tag; it returns nil where that is not plain.
func (t *Tokens) endTag(rest string) (xml.Token, error) {
	name, i := t.name(rest, 2)
	if i < 0 {
		return nil, nil
	}
	if i = blanks(rest, i); i >= len(rest) || rest[i] != '>' {
		return nil, nil
	}
	t.pass(i + 1)
	return t.end(name)
}

// end closes the element that is open.
func (t *Tokens) end(name xml.Name) (xml.Token, error) {
	if n := len(t.open); n > 0 {
		if t.open[n-1].Local != name.Local {
			return nil, ErrCrossed
		}
		t.open = t.open[:n-1]
	}
	return xml.EndElement{Name: name}, nil
}

// startTag reads the tag of an element; it returns nil where that is not plain.
func (t *Tokens) startTag(rest string) xml.Token {
	name, i := t.name(rest, 1)
	if i < 0 {
		return nil
	}
	t.attrs = t.attrs[:0]
	for {
		if i = blanks(rest, i); i+1 >= len(rest) {
			return nil
		}
		if rest[i] == '>' || rest[i] == '/' && rest[i+1] == '>' {
			break
		}
		var a xml.Attr
		if a, i = t.attr(rest, i); i < 0 {
			return nil
		}
		t.attrs = append(t.attrs, a)
	}
	t.empty = rest[i] == '/'
	if t.empty {
		i++
	}
	t.pass(i + 1)
	t.open = append(t.open, name)
	return xml.StartElement{Name: name, Attr: t.kept()}
}

// spares is how many attributes are made room for at once.
const spares = 512

// kept returns the attributes of the tag in room of their own.
func (t *Tokens) kept() []xml.Attr {
	n := len(t.attrs)
	if n > len(t.spare) {
		t.spare = make([]xml.Attr, max(n, spares))
	}
	out := t.spare[:n:n]
	t.spare = t.spare[n:]
	copy(out, t.attrs)
	return out
}

// blanks returns the first place from i that is no blank.
func blanks(s string, i int) int {
	for i < len(s) && kinds[s[i]]&blank != 0 {
		i++
	}
	return i
}

// attr reads an attribute at i, and returns the place after it; below zero where it is
// not plain.
func (t *Tokens) attr(s string, i int) (a xml.Attr, end int) {
	a.Name, i = t.name(s, i)
	if i < 0 {
		return a, -1
	}
	if i = blanks(s, i); i >= len(s) || s[i] != '=' {
		return a, -1
	}
	if i = blanks(s, i+1); i >= len(s) || s[i] != '"' && s[i] != '\'' {
		return a, -1
	}
	from, quote := i+1, s[i]
	for i = from; i < len(s) && s[i] != quote; i++ {
		if kinds[s[i]]&inValue == 0 {
			return a, -1
		}
	}
	value, plain := valueOf(s[from:i])
	if i >= len(s) || !plain {
		return a, -1
	}
	a.Value = value
	return a, i + 1
}

// valueOf returns what stands in the quotes of an attribute with its line ends as one
// character and its references put in; plain is false for references that are not known.
func valueOf(text string) (value string, plain bool) {
	if strings.IndexByte(text, '\r') >= 0 {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	}
	if strings.IndexByte(text, '&') < 0 {
		return text, true
	}
	return references.Replace(text), areKnown(text)
}

// references puts what the references stand for in their places that every document may
// use (XML 1.0, 4.6).
var references = strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&", "&apos;", "'", "&quot;", `"`)

// areKnown reports whether all references of a value are those.
func areKnown(value string) bool {
	for {
		i := strings.IndexByte(value, '&')
		if i < 0 {
			return true
		}
		value = value[i+1:]
		n := strings.IndexByte(value[:min(len(value), 5)], ';')
		if n < 0 {
			return false
		}
		switch value[:n] {
		case "lt", "gt", "amp", "apos", "quot":
		default:
			return false
		}
	}
}

// name reads a name at i, with its prefix if it has one, and returns the place after it;
// below zero where it is not plain.
func (t *Tokens) name(s string, i int) (name xml.Name, end int) {
	first, i := t.part(s, i)
	if i < 0 || s[i] != ':' {
		return xml.Name{Local: first}, i
	}
	local, i := t.part(s, i+1)
	if i < 0 || s[i] == ':' {
		return name, -1
	}
	return xml.Name{Space: first, Local: local}, i
}

// part reads a name without a prefix. Each is made only once, and is no part of the text,
// which it would keep from being forgotten.
func (t *Tokens) part(s string, i int) (part string, end int) {
	from := i
	if i >= len(s) || kinds[s[i]]&nameStart == 0 {
		return "", -1
	}
	for i < len(s) && kinds[s[i]]&inName != 0 {
		i++
	}
	if i >= len(s) || s[i] >= utf8.RuneSelf {
		return "", -1
	}
	part, known := t.names[s[from:i]]
	if !known {
		part = strings.Clone(s[from:i])
		if len(t.names) < maxNames {
			t.names[part] = part
		}
	}
	return part, i
}

// maxNames bounds the names that are kept to be used again; the standard knows fewer than
// 500.
const maxNames = 4096

// odd reads a token by encoding/xml.
func (t *Tokens) odd() (xml.Token, error) {
	d := xml.NewDecoder(strings.NewReader(t.text[t.at:]))
	configure(d)
	tok, err := d.RawToken()
	line, _ := d.InputPos()
	t.line += line - 1
	t.at += int(d.InputOffset())
	if err != nil {
		return nil, err
	}
	switch tok := tok.(type) {
	case xml.StartElement:
		t.open = append(t.open, tok.Name)
		t.empty = t.text[t.at-2] == '/' // of "/>"
	case xml.EndElement:
		return t.end(tok.Name)
	}
	return tok, nil
}
