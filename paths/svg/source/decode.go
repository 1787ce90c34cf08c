package source

import (
	"bytes"
	"compress/gzip"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/net/html/charset"

	"weftplot/paths/bounded"
	"weftplot/paths/fault"
)

// Decode returns the text of a file as UTF-8 without a byte-order mark and
// without its XML declaration; blanks replace that, so that lines keep their
// numbers. limit bounds its bytes, also after unpacking.
func Decode(name string, data []byte, limit int) ([]byte, *fault.Error) {
	data, bad := unpack(name, data, limit)
	if bad != nil {
		return nil, bad
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, fault.Bad(name, "choose another file", "the file is empty")
	}
	text, bad := toUTF8(name, data, limit)
	if bad != nil {
		return nil, bad
	}
	return blankDeclaration(text), nil
}

// unpack undoes gzip, known by its first two bytes (RFC 1952, 2.3.1).
func unpack(name string, data []byte, limit int) ([]byte, *fault.Error) {
	if bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		z, err := gzip.NewReader(bytes.NewReader(data))
		if err == nil {
			data, err = io.ReadAll(io.LimitReader(z, int64(limit)+1))
		}
		if err != nil && len(data) <= limit {
			f := fault.Bad(name, "save it again, or save it as plain SVG", "the packed file is damaged: %v", err)
			f.Err = err
			return nil, f
		}
	}
	if len(data) > limit {
		return nil, bounded.TooLong(name, limit)
	}
	return data, nil
}

// toUTF8 finds the encoding as XML 1.0, appendix F, does: by the byte-order
// mark, by the pattern of the first "<", by the declaration; UTF-8 otherwise.
func toUTF8(name string, data []byte, limit int) ([]byte, *fault.Error) {
	label := ""
	switch {
	case bytes.HasPrefix(data, []byte("\xef\xbb\xbf")):
		data = data[3:]
	case bytes.HasPrefix(data, []byte("\xff\xfe")):
		label, data = "utf-16le", data[2:]
	case bytes.HasPrefix(data, []byte("\xfe\xff")):
		label, data = "utf-16be", data[2:]
	case bytes.HasPrefix(data, []byte("<\x00")):
		label = "utf-16le"
	case bytes.HasPrefix(data, []byte("\x00<")):
		label = "utf-16be"
	default:
		label = declared(data)
	}
	if label != "" && !strings.EqualFold(label, "utf-8") {
		rd, err := charset.NewReaderLabel(label, bytes.NewReader(data))
		if err != nil {
			f := fault.Bad(name, "save it as UTF-8", "the encoding %q is not known", label)
			f.Err = err
			return nil, f
		}
		// A byte can become three in UTF-8; a file that grows beyond the bound
		// is refused like one that was too long before.
		data, err = io.ReadAll(io.LimitReader(rd, int64(limit)+1))
		if err != nil || len(data) > limit {
			return nil, bounded.TooLong(name, limit)
		}
	}
	if !utf8.Valid(data) {
		data = bytes.ToValidUTF8(data, []byte("\uFFFD"))
		if len(data) > limit {
			return nil, bounded.TooLong(name, limit)
		}
	}
	return data, nil
}

var (
	declaration = regexp.MustCompile(`^\s*<\?xml\s[^>]*\?>`)
	encodingIs  = regexp.MustCompile(`\sencoding\s*=\s*["']([A-Za-z][A-Za-z0-9._:-]*)["']`)
)

// head is how much of a file may hold the XML declaration.
const head = 1024

// declared returns the encoding an XML declaration names. A declaration that
// can be read byte by byte is not in UTF-16; one that says so is wrong.
func declared(data []byte) string {
	decl := declaration.Find(data[:min(len(data), head)])
	m := encodingIs.FindSubmatch(decl)
	if m == nil || strings.HasPrefix(strings.ToLower(string(m[1])), "utf-16") {
		return ""
	}
	return string(m[1])
}

func blankDeclaration(text []byte) []byte {
	loc := declaration.FindIndex(text[:min(len(text), head)])
	if loc == nil {
		return text
	}
	out := bytes.Clone(text)
	for i := loc[0]; i < loc[1]; i++ {
		if out[i] != '\n' {
			out[i] = ' '
		}
	}
	return out
}
