package source

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"weftplot/paths/bounded"
	"weftplot/paths/fault"
)

// Entities that a file declares in its document type are put in its text before
// that is parsed (XML 1.0, 4.4). Only text in the file itself is put in; nothing
// outside it is ever looked for.

const (
	// maxEntityDepth bounds how deep entities use one another.
	maxEntityDepth = 8
	// OutsideMark stands for an entity whose text is outside the file. It is a
	// private-use character, which no file holds by chance.
	OutsideMark = "\uf8fe"
)

var (
	entityDecl = regexp.MustCompile(`^<!ENTITY\s+([^\s%"'<>&;]+)\s+(?:"([^"]*)"|'([^']*)'|(?:SYSTEM|PUBLIC)\s)`)
	entityUse  = regexp.MustCompile(`&([^\s#&;<>"'][^\s&;<>"']*);`)
	charRef    = regexp.MustCompile(`&#(?:x([0-9A-Fa-f]{1,6})|([0-9]{1,7}));`)
)

// ExpandEntities returns the text with the entities that it declares expanded,
// and lines numbered as before. It is longer than limit, or one entity uses
// another too deep, only with a fault.
func ExpandEntities(name string, text []byte, limit int) ([]byte, *fault.Error) {
	if !bytes.Contains(text, []byte("<!ENTITY")) {
		return text, nil
	}
	subset, end := internalSubset(text)
	x := expander{name: name, limit: limit, declared: declaredEntities(subset)}
	if len(x.declared) == 0 {
		return text, nil
	}
	x.known = map[entityKey]expansion{}
	var out bytes.Buffer
	out.Grow(len(text))
	out.Write(text[:end])
	_, bad := x.content(&out, string(text[end:]), false)
	return out.Bytes(), bad
}

// internalSubset returns what stands in the brackets of the document type, and
// where the document type ends.
func internalSubset(text []byte) (subset string, end int) {
	at := bytes.Index(text, []byte("<!DOCTYPE"))
	if at < 0 {
		return "", 0
	}
	from := -1
	for i := at; i < len(text); {
		switch rest := text[i:]; {
		case bytes.HasPrefix(rest, []byte("<!--")):
			i += length(rest, "-->")
			continue
		case rest[0] == '"' || rest[0] == '\'':
			i += 1 + length(rest[1:], string(rest[:1]))
			continue
		case rest[0] == '[' && from < 0:
			from = i + 1
		case rest[0] == ']' && from >= 0:
			subset = string(text[from:i])
		case rest[0] == '>' && (from < 0 || subset != "" || text[i-1] == ']'):
			return subset, i + 1
		}
		i++
	}
	return subset, len(text)
}

// length returns how long the text is up to the end of mark; all of it where the
// mark is missing.
func length(text []byte, mark string) int {
	if i := bytes.Index(text, []byte(mark)); i >= 0 {
		return i + len(mark)
	}
	return len(text)
}

// declaredEntities returns the text of each entity that a subset declares, the
// first declaration of a name.
func declaredEntities(subset string) map[string]string {
	out := map[string]string{}
	for subset != "" {
		switch i := strings.IndexByte(subset, '<'); {
		case i < 0:
			return out
		case i > 0:
			subset = subset[i:]
		}
		if strings.HasPrefix(subset, "<!--") {
			subset = subset[length([]byte(subset), "-->"):]
			continue
		}
		m := entityDecl.FindStringSubmatchIndex(subset)
		if m == nil {
			subset = subset[1:]
			continue
		}
		value := OutsideMark
		for _, k := range []int{4, 6} {
			if m[k] >= 0 {
				value = charRef.ReplaceAllStringFunc(subset[m[k]:m[k+1]], character)
			}
		}
		key := subset[m[2]:m[3]]
		if _, ok := out[key]; !ok {
			out[key] = value
		}
		subset = subset[m[1]:]
	}
	return out
}

// character returns the character that a reference names; one to no character
// stays as it is.
func character(ref string) string {
	m := charRef.FindStringSubmatch(ref)
	base, digits := 10, m[2]
	if m[1] != "" {
		base, digits = 16, m[1]
	}
	n, err := strconv.ParseUint(digits, base, 32)
	if err != nil || n == 0 || n > utf8.MaxRune || !utf8.ValidRune(rune(n)) {
		return ref
	}
	return string(rune(n))
}

// expander writes texts with their entities expanded.
type expander struct {
	name     string
	limit    int
	declared map[string]string
	known    map[entityKey]expansion // so that none is expanded twice
}

type entityKey struct {
	name    string
	inValue bool // of an attribute
}

type expansion struct {
	text  string
	depth int // of the entities that it uses; 1 for none
}

// content writes what stands outside and inside tags; comments, CDATA sections and
// processing instructions stay as they are. It returns the depth of the entities.
func (x *expander) content(out *bytes.Buffer, text string, inEntity bool) (depth int, bad *fault.Error) {
	for text != "" && bad == nil {
		n, isMarkup := strings.IndexByte(text, '<'), false
		switch {
		case n < 0:
			n = len(text)
		case n == 0:
			var isTag bool
			n, isTag = markup(text)
			isMarkup = !isTag
		}
		d := 0
		if isMarkup {
			bad = x.write(out, text[:n], inEntity)
		} else {
			d, bad = x.put(out, text[:n], inEntity, text[0] == '<')
		}
		depth, text = max(depth, d), text[n:]
	}
	return depth, bad
}

// markup returns how long the markup is that text begins with, and whether it is a
// tag.
func markup(text string) (n int, isTag bool) {
	for open, end := range map[string]string{"<!--": "-->", "<![CDATA[": "]]>", "<?": "?>"} {
		if strings.HasPrefix(text, open) {
			return len(open) + length([]byte(text[len(open):]), end), false
		}
	}
	quote := byte(0)
	for i := 1; i < len(text); i++ {
		switch c := text[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '>':
			return i + 1, true
		case c == '<': // damaged: it was no tag
			return i, true
		}
	}
	return len(text), true
}

// put writes text without markup, or a tag, with the entities in it expanded.
func (x *expander) put(out *bytes.Buffer, text string, inEntity, inTag bool) (depth int, bad *fault.Error) {
	for text != "" && bad == nil {
		m := entityUse.FindStringSubmatchIndex(text)
		if m == nil {
			return depth, x.write(out, text, inEntity)
		}
		if bad = x.write(out, text[:m[0]], inEntity); bad != nil {
			break
		}
		name := text[m[2]:m[3]]
		if _, ok := x.declared[name]; !ok {
			bad = x.write(out, text[m[0]:m[1]], inEntity)
		} else {
			var e expansion
			if e, bad = x.expand(entityKey{name, inTag}); bad == nil {
				depth = max(depth, e.depth)
				bad = x.write(out, e.text, inEntity)
			}
		}
		text = text[m[1]:]
	}
	return depth, bad
}

// expand returns what an entity stands for.
func (x *expander) expand(key entityKey) (expansion, *fault.Error) {
	e, ok := x.known[key]
	switch {
	case ok && e.depth <= maxEntityDepth:
		return e, nil
	case ok:
		return e, fault.Bad(x.name, "save the drawing again without them", "its entities use one another more than %d deep, or in a ring", maxEntityDepth)
	}
	x.known[key] = expansion{depth: maxEntityDepth + 1} // until it is known: one of itself
	var out bytes.Buffer
	var depth int
	var bad *fault.Error
	if value := x.declared[key.name]; key.inValue {
		depth, bad = x.put(&out, asValue.Replace(value), true, true)
	} else {
		depth, bad = x.content(&out, value, true)
	}
	if bad != nil {
		return e, bad
	}
	x.known[key] = expansion{out.String(), depth + 1}
	return x.expand(key)
}

// asValue keeps what an entity holds within the quotes of an attribute's value.
var asValue = strings.NewReplacer(`"`, "&quot;", "'", "&apos;", "<", "&lt;", ">", "&gt;")

// write writes text as it is. Line ends of entities become references, so that the
// lines of the file keep their numbers.
func (x *expander) write(out *bytes.Buffer, text string, inEntity bool) *fault.Error {
	if inEntity && strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\n", "&#10;")
	}
	if out.Len()+len(text) > x.limit {
		return bounded.TooMuch(x.name, "with its entities expanded the file is longer than %d bytes, the most that is read", x.limit)
	}
	out.WriteString(text)
	return nil
}
