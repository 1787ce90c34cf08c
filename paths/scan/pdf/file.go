package pdf

import (
	"bytes"
	"errors"
)

// File is a PDF file whose objects were found.
type File struct {
	objects map[ref]any
	trailer dict
	pages   []dict
	left    int // bytes that streams may still unpack to

	unpacked map[*stream][]byte
}

// Bounds on a file.
const (
	maxUnpacked = 1 << 26 // bytes of all streams that are not pictures
	maxPages    = 20_000
)

// Errors of files that are sound and are not read.
var (
	ErrLocked  = errors.New("the PDF is locked with a password")
	ErrNoPages = errors.New("the PDF has no pages that can be read: it is cut off or damaged")
)

// IsPDF reports whether data begins as a PDF does, or after a little else.
func IsPDF(data []byte) bool { return bytes.Contains(data[:min(len(data), 1024)], []byte("%PDF-")) }

// Open finds the objects and the pages of a file.
func Open(data []byte) (*File, error) {
	f := &File{objects: map[ref]any{}, trailer: dict{}, left: maxUnpacked, unpacked: map[*stream][]byte{}}
	if err := f.scan(data); err != nil {
		return nil, err
	}
	if f.trailer["Encrypt"] != nil {
		return nil, ErrLocked
	}
	root := f.dict(f.trailer["Root"])
	if root == nil {
		root = f.catalog()
	}
	f.collect(f.dict(root["Pages"]), dict{}, 0, map[ref]bool{})
	if len(f.pages) == 0 {
		return nil, ErrNoPages
	}
	return f, nil
}

// Pages is the number of pages.
func (f *File) Pages() int { return len(f.pages) }

// scan goes through the file from object to object.
func (f *File) scan(data []byte) error {
	tokens := maxTokens
	l := &lexer{data: data, tokens: &tokens}
	noEnd := false
	var packed []*stream
	for {
		l.skip()
		i := bytes.IndexAny(data[l.at:], "ot") // of "obj" and "trailer"
		if i < 0 {
			break
		}
		l.at += i
		at := l.at
		switch {
		case bytes.HasPrefix(data[at:], []byte("trailer")):
			l.at += len("trailer")
			if v, err := l.next(0); err == nil {
				f.addTrailer(v)
			}
		case bytes.HasPrefix(data[at:], []byte("obj")):
			l.at += len("obj")
			num, ok := numberBefore(data[:at])
			if !ok {
				continue
			}
			v, err := f.object(l, &noEnd)
			if errors.Is(err, errTangled) {
				return err
			}
			f.objects[ref(num)] = v
			if s, ok := v.(*stream); ok {
				packed = f.noteStream(s, packed)
			}
		default:
			l.at++
		}
		if tokens < 0 {
			return errTangled
		}
	}
	for _, s := range packed {
		f.unpackObjects(s, &tokens)
	}
	return nil
}

func (f *File) noteStream(s *stream, packed []*stream) []*stream {
	switch s.dict["Type"] {
	case name("XRef"):
		f.addTrailer(s.dict)
	case name("ObjStm"):
		packed = append(packed, s)
	}
	return packed
}

func (f *File) addTrailer(v any) {
	if d, ok := v.(dict); ok {
		for k, v := range d {
			if k == "Root" || k == "Encrypt" {
				f.trailer[k] = v
			}
		}
	}
}

// numberBefore reads the number of an object that stands, with its generation,
// before the word obj.
func numberBefore(data []byte) (int, bool) {
	words := bytes.Fields(data[max(0, len(data)-32):])
	if len(words) < 2 || len(data) == 0 || !isSpace(data[len(data)-1]) {
		return 0, false
	}
	v, ok := wordValue(string(words[len(words)-2])).(float64)
	_, gen := wordValue(string(words[len(words)-1])).(float64)
	return int(v), ok && gen && v >= 0 && v < 1e9
}

// object reads the object behind the word obj.
func (f *File) object(l *lexer, noEnd *bool) (any, error) {
	v, err := l.value()
	d, ok := v.(dict)
	if err != nil || !ok {
		return v, err
	}
	l.skip()
	// A dictionary that is not closed ends with the word stream.
	if !bytes.HasPrefix(l.data[l.at:], []byte("stream")) {
		return v, nil
	}
	l.at += len("stream")
	if bytes.HasPrefix(l.data[l.at:], []byte("\r\n")) {
		l.at += 2
	} else if l.at < len(l.data) && (l.data[l.at] == '\n' || l.data[l.at] == '\r') {
		l.at++
	}
	s := &stream{dict: d, raw: l.data[l.at:]}
	if n, ok := d["Length"].(float64); ok && n >= 0 && n <= float64(len(s.raw)) {
		after := bytes.TrimLeft(s.raw[int(n):min(len(s.raw), int(n)+16)], "\r\n \t\x00")
		if bytes.HasPrefix(after, []byte("endstream")) {
			s.raw = s.raw[:int(n)]
			l.at += int(n)
			return s, nil
		}
	}
	if *noEnd {
		l.at = len(l.data)
		return s, nil
	}
	if i := bytes.Index(s.raw, []byte("endstream")); i >= 0 {
		l.at += i
		s.raw = s.raw[:i]
	} else {
		*noEnd = true
		l.at = len(l.data)
	}
	return s, nil
}

// value reads one object, and a reference as one.
func (l *lexer) value() (any, error) {
	v, err := l.next(0)
	num, ok := v.(float64)
	if err != nil || !ok {
		return v, err
	}
	at := l.at
	if _, err = l.next(0); err == nil {
		if k, err := l.next(0); err == nil && k == keyword("R") {
			return ref(num), nil
		}
	}
	l.at = at
	return num, nil
}

// unpackObjects enters the objects of an object stream (7.5.7), where the file
// does not hold them outside it.
func (f *File) unpackObjects(s *stream, tokens *int) {
	data, _ := f.unpack(s) // of a damaged one, what came before the damage
	first, ok := s.dict["First"].(float64)
	if !ok || first < 0 || int(first) > len(data) {
		return
	}
	index := &lexer{data: data[:int(first)], tokens: tokens}
	for {
		num, err1 := index.next(0)
		at, err2 := index.next(0)
		n, ok1 := num.(float64)
		off, ok2 := at.(float64)
		if err1 != nil || err2 != nil || !ok1 || !ok2 || off < 0 || int(off) > len(data)-int(first) {
			return
		}
		f.enter(n, &lexer{data: data[int(first)+int(off):], tokens: tokens})
	}
}

// enter enters an object of an object stream.
func (f *File) enter(num float64, l *lexer) {
	if v, err := l.value(); err == nil && num >= 0 && num < 1e9 {
		f.objects[ref(num)] = v
	}
}

// get follows a reference.
func (f *File) get(v any) any {
	for range 16 {
		r, ok := v.(ref)
		if !ok {
			return v
		}
		v = f.objects[r]
	}
	return nil
}

func (f *File) dict(v any) dict {
	switch d := f.get(v).(type) {
	case dict:
		return d
	case *stream:
		return d.dict
	}
	return nil
}

func (f *File) array(v any) array { a, _ := f.get(v).(array); return a }

// number returns a number, and whether there is one.
func (f *File) number(v any) (float64, bool) { n, ok := f.get(v).(float64); return n, ok }

// numbers returns all of an array, nil where it has another length than n or
// holds something else.
func (f *File) numbers(v any, n int) []float64 {
	a := f.array(v)
	if len(a) != n {
		return nil
	}
	out := make([]float64, n)
	for i := range a {
		var ok bool
		if out[i], ok = f.number(a[i]); !ok {
			return nil
		}
	}
	return out
}

// catalog looks for the root of a file that has lost its trailer.
func (f *File) catalog() dict {
	best, found := ref(0), dict(nil)
	for r, v := range f.objects {
		if d, ok := v.(dict); ok && d["Type"] == name("Catalog") && (found == nil || r > best) {
			best, found = r, d
		}
	}
	return found
}

// inherited are the attributes that pages take from the nodes above them (table
// 30).
var inherited = []name{"MediaBox", "CropBox", "Resources", "Rotate"}

// collect gathers the pages below a node.
func (f *File) collect(node, above dict, depth int, seen map[ref]bool) {
	if node == nil || depth > maxNested || len(f.pages) >= maxPages {
		return
	}
	own := dict{}
	for k, v := range node {
		own[k] = v
	}
	for _, k := range inherited {
		if own[k] == nil && above[k] != nil {
			own[k] = above[k]
		}
	}
	kids := f.array(node["Kids"])
	if kids == nil {
		f.pages = append(f.pages, own)
		return
	}
	for _, k := range kids {
		r, ok := k.(ref)
		if !ok || seen[r] {
			continue
		}
		seen[r] = true
		f.collect(f.dict(k), own, depth+1, seen)
	}
}
