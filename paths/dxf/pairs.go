package dxf

import (
	"bytes"
	"strconv"

	"weftplot/paths/fault"
)

// binarySign starts the binary form of DXF.
const binarySign = "AutoCAD Binary DXF"

// Looks reports whether data begins as a DXF file does, in its text or its
// binary form.
func Looks(data []byte) bool {
	data = bytes.TrimPrefix(data, []byte(utf8Mark))
	if bytes.HasPrefix(data, []byte(binarySign)) {
		return true
	}
	s := scanner{data: data}
	for {
		g, ok, bad := s.pair("")
		if !ok || bad != nil {
			return false
		}
		if g.code != comment {
			return g.code == 0 && string(s.value(g)) == "SECTION"
		}
	}
}

const utf8Mark = "\xef\xbb\xbf"

// plainText returns data without its byte-order mark, or the error of a file that
// is not DXF text.
func plainText(name string, data []byte) ([]byte, *fault.Error) {
	data = bytes.TrimPrefix(data, []byte(utf8Mark))
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return nil, fault.Bad(name, "choose another file", "the file is empty")
	case bytes.HasPrefix(data, []byte(binarySign)):
		return nil, fault.Bad(name, "save it as DXF text (ASCII)", "it is the binary form of DXF, which is not read")
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		return nil, fault.Bad(name, "save it as UTF-8", "it is text of two bytes a letter, which DXF is not")
	case !Looks(data):
		return nil, fault.Bad(name, "give a DXF design", "it is not DXF: it does not begin with a section")
	}
	return data, nil
}

// comment is the group code of a remark.
const comment = 999

// group is one pair of the file: a code, and where its value is in the file.
type group struct {
	code, line int32 // the line of the code, from 1
	from, to   int32
}

// scanner cuts a file into pairs. Lines end with LF, CR LF or CR.
type scanner struct {
	data []byte
	at   int
	line int // lines read
}

// next returns the bounds of the next line without the blanks around it.
func (s *scanner) next() (from, to int, ok bool) {
	if s.at >= len(s.data) {
		return 0, 0, false
	}
	rest := s.data[s.at:]
	n := bytes.IndexAny(rest[:min(len(rest), shortLine)], "\r\n")
	if n < 0 {
		n = bytes.IndexAny(rest, "\r\n")
	}
	end := 0
	switch {
	case n < 0:
		n = len(rest)
	case rest[n] == '\r' && n+1 < len(rest) && rest[n+1] == '\n':
		end = 2
	default:
		end = 1
	}
	from, to = s.at, s.at+n
	s.at += n + end
	s.line++
	for from < to && isBlank(s.data[from]) {
		from++
	}
	for from < to && isBlank(s.data[to-1]) {
		to--
	}
	return from, to, true
}

// shortLine is as long as most lines are.
const shortLine = 64

func isBlank(c byte) bool { return c == ' ' || c == '\t' || c == 0 || c == 0x1a }

// pair returns the next pair, and false at the end of the file. A line that
// should hold a group code and does not is an error, as all that follows would be
// misread.
func (s *scanner) pair(name string) (group, bool, *fault.Error) {
	from, to, ok := s.next()
	if !ok {
		return group{}, false, nil
	}
	line := s.line
	code, err := strconv.Atoi(string(s.data[from:to]))
	if err != nil || code < -10 || code > 1100 {
		if from == to && len(bytes.TrimSpace(s.data[s.at:])) == 0 {
			return group{}, false, nil // blank lines at the end
		}
		f := fault.Bad(name, "save it again from the drawing program", "a group code was expected, and here stands %q", excerpt(s.data[from:to]))
		f.Where = at(name, line)
		return group{}, false, f
	}
	from, to, ok = s.next()
	if !ok {
		return group{}, false, nil
	}
	return group{int32(code), int32(line), int32(from), int32(to)}, true, nil
}

func (s *scanner) value(g group) []byte { return s.data[g.from:g.to] }

func at(name string, line int) string { return name + ", line " + strconv.Itoa(line) }

// excerpt returns the beginning of what a file says, fit for a message.
func excerpt(b []byte) string {
	const most = 40
	if len(b) > most {
		return string(bytes.ToValidUTF8(b[:most], nil)) + "..."
	}
	return string(b)
}
