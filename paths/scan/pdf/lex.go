package pdf

import (
	"bytes"
	"errors"
	"strconv"
)

// Objects are nil, bool, float64, text, name, array, dict, ref and *stream.
type (
	name  string
	text  string
	array []any
	dict  map[name]any
	ref   int // number of an object; generations are not told apart
	// keyword is an operator of a content stream, or a word such as obj.
	keyword string
)

// stream is a dictionary with data, as stored.
type stream struct {
	dict dict
	raw  []byte
}

var errEnd = errors.New("the end")

// errTangled is of objects nested or repeated beyond all use.
var errTangled = errors.New("its objects are nested too deeply, or too many")

const (
	maxNested = 60
	maxTokens = 8_000_000 // in one file: 100 MB of dense numbers
)

// lexer reads objects from data.
type lexer struct {
	data   []byte
	at     int
	tokens *int // that are left
}

func isSpace(c byte) bool {
	return c == 0 || c == '\t' || c == '\n' || c == '\f' || c == '\r' || c == ' '
}

func isDelimiter(c byte) bool { return bytes.IndexByte([]byte("()<>[]{}/%"), c) >= 0 }

// skip passes over white space and comments.
func (l *lexer) skip() {
	for l.at < len(l.data) {
		switch c := l.data[l.at]; {
		case isSpace(c):
			l.at++
		case c == '%':
			for l.at < len(l.data) && l.data[l.at] != '\n' && l.data[l.at] != '\r' {
				l.at++
			}
		default:
			return
		}
	}
}

// word reads a regular word.
func (l *lexer) word() string {
	from := l.at
	for l.at < len(l.data) && !isSpace(l.data[l.at]) && !isDelimiter(l.data[l.at]) {
		l.at++
	}
	return string(l.data[from:l.at])
}

// next reads an object or a keyword. References come out as numbers and the
// keyword R; value puts them together.
func (l *lexer) next(depth int) (any, error) {
	l.skip()
	if l.at >= len(l.data) {
		return nil, errEnd
	}
	if *l.tokens--; *l.tokens < 0 || depth > maxNested {
		return nil, errTangled
	}
	switch c := l.data[l.at]; c {
	case '/':
		l.at++
		return name(unescaped(l.word())), nil
	case '(':
		return l.literal(), nil
	case '[':
		l.at++
		return l.list(depth, "]")
	case '<':
		if bytes.HasPrefix(l.data[l.at:], []byte("<<")) {
			l.at += 2
			items, err := l.list(depth, ">>")
			return dictOf(items), err
		}
		return l.hex(), nil
	case ']', '{', '}', ')':
		l.at++
		return keyword(c), nil
	case '>':
		l.at++
		if l.at < len(l.data) && l.data[l.at] == '>' {
			l.at++
			return keyword(">>"), nil
		}
		return keyword(">"), nil
	}
	return wordValue(l.word()), nil
}

func wordValue(w string) any {
	switch w {
	case "true", "false":
		return w == "true"
	case "null":
		return nil
	}
	if c := w[0]; c == '+' || c == '-' || c == '.' || c >= '0' && c <= '9' {
		if v, err := strconv.ParseFloat(w, 64); err == nil && v-v == 0 {
			return v
		}
	}
	return keyword(w)
}

// list reads what stands before the closing word, with references put together.
func (l *lexer) list(depth int, closing keyword) (array, error) {
	var out array
	for {
		v, err := l.next(depth + 1)
		if err != nil {
			return out, err
		}
		k, is := v.(keyword)
		if !is {
			out = append(out, v)
			continue
		}
		if n := len(out); k == "R" && n >= 2 {
			if num, ok := out[n-2].(float64); ok {
				out = append(out[:n-2], ref(num))
				continue
			}
		}
		if k == closing || k == "endobj" || k == "stream" {
			return out, nil
		}
	}
}

func dictOf(items array) dict {
	d := dict{}
	for i := 0; i+1 < len(items); i += 2 {
		if k, ok := items[i].(name); ok {
			d[k] = items[i+1]
		} else {
			i-- // one value too many; go on with the next name
		}
	}
	return d
}

// unescaped puts characters in the place of #xx in a name (7.3.5).
func unescaped(s string) string {
	var out []byte
	for i := 0; i < len(s); i++ {
		if s[i] == '#' && i+2 < len(s) {
			if v, err := strconv.ParseUint(s[i+1:i+3], 16, 8); err == nil {
				out = append(out, byte(v))
				i += 2
				continue
			}
		}
		out = append(out, s[i])
	}
	return string(out)
}

// literal reads a string in parentheses (7.3.4.2).
func (l *lexer) literal() text {
	var out []byte
	open := 0
	for ; l.at < len(l.data); l.at++ {
		c := l.data[l.at]
		switch {
		case c == '\\':
			l.at++
			out = append(out, l.escaped()...)
			continue
		case c == '(':
			if open++; open == 1 {
				continue
			}
		case c == ')':
			if open--; open == 0 {
				l.at++
				return text(out)
			}
		}
		out = append(out, c)
	}
	l.at = len(l.data)
	return text(out)
}

// escaped reads what stands behind a backslash, and leaves the place on the last
// character of it.
func (l *lexer) escaped() []byte {
	if l.at >= len(l.data) {
		return nil
	}
	c := l.data[l.at]
	if i := bytes.IndexByte([]byte("nrtbf"), c); i >= 0 {
		return []byte{"\n\r\t\b\f"[i]}
	}
	if c == '\r' || c == '\n' {
		return nil
	}
	if c < '0' || c > '7' {
		return []byte{c}
	}
	v := 0
	n := 0
	for ; n < 3 && l.at+n < len(l.data) && l.data[l.at+n] >= '0' && l.data[l.at+n] <= '7'; n++ {
		v = v*8 + int(l.data[l.at+n]-'0')
	}
	l.at += n - 1
	return []byte{byte(v)}
}

// hex reads a string in hexadecimal (7.3.4.3).
func (l *lexer) hex() text {
	l.at++
	var out []byte
	digits, v := 0, 0
	for ; l.at < len(l.data) && l.data[l.at] != '>'; l.at++ {
		d, err := strconv.ParseUint(string(l.data[l.at]), 16, 8)
		if err != nil {
			continue
		}
		v = v<<4 | int(d)
		if digits++; digits%2 == 0 {
			out = append(out, byte(v))
			v = 0
		}
	}
	l.at = min(l.at+1, len(l.data))
	if digits%2 == 1 {
		out = append(out, byte(v<<4))
	}
	return text(out)
}
