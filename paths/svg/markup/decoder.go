package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
)

// configure sets how a document is read: as leniently as encoding/xml can, and in UTF-8
// whatever the document says.
func configure(d *xml.Decoder) {
	d.Strict = false
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
}

// Decoder reads the tokens of a document, with the names of their namespaces.
type Decoder struct {
	d   *xml.Decoder
	raw *Tokens // nil where encoding/xml reads all
}

// NewDecoder returns a decoder of a text in UTF-8. Where fast is false, or Token has
// returned [ErrCrossed], all is read by encoding/xml.
func NewDecoder(text []byte, fast bool) *Decoder {
	if !fast {
		d := xml.NewDecoder(bytes.NewReader(text))
		configure(d)
		return &Decoder{d: d}
	}
	raw := NewTokens(text)
	d := xml.NewTokenDecoder(raw)
	configure(d)
	return &Decoder{d: d, raw: raw}
}

// Line is the line that the next token begins on.
func (d *Decoder) Line() int {
	if d.raw != nil {
		return d.raw.line
	}
	line, _ := d.d.InputPos()
	return line
}

// Offset is how many bytes were read.
func (d *Decoder) Offset() int {
	if d.raw != nil {
		return d.raw.at
	}
	return int(d.d.InputOffset())
}

// Token returns the next token; it may be changed by the next call. The error is io.EOF
// after the last token of a whole document, and [ErrCrossed] where the document must be
// read again without haste. Comments may come without what they say.
func (d *Decoder) Token() (xml.Token, error) {
	tok, err := d.d.Token()
	var syntax *xml.SyntaxError
	if d.raw != nil && errors.As(err, &syntax) {
		syntax.Line = d.raw.line // what gives the names their namespaces knows no lines
	}
	return tok, err
}
