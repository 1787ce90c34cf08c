package device

import (
	"bytes"
	"slices"

	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// piece is a part of a program's text that is sent whole: a line of G-code, an
// instruction of HP-GL.
type piece struct {
	start, end int // offsets into the text
	line       int // from 1
	// pause is set when the piece asks for the person: it is not sent, the
	// person is asked instead.
	pause bool
	words string // what for
}

// cut divides the text of a job into pieces, leaving out what does nothing.
func cut(job Job) ([]piece, error) {
	if job.Machine.Language != profiles.GCode {
		pieces := cutInstructions(job.Text)
		for i := range pieces {
			p := &pieces[i]
			// NR, not ready, asks for the person.
			p.pause = bytes.EqualFold(bytes.TrimSpace(job.Text[p.start:p.end]), []byte("NR;"))
		}
		return pieces, nil
	}
	pauses := map[int]string{}
	for _, b := range job.Program.Blocks {
		if b.Kind == program.Pause {
			pauses[b.Line] = b.Text
		}
	}
	pieces := cutLines(job.Text)
	for i := range pieces {
		p := &pieces[i]
		p.words, p.pause = pauses[p.line]
		if n := p.end - p.start; n > job.Machine.Serial.Buffer {
			return nil, fault.Bad(lineName(p.line), "prepare the program again for this machine",
				"the line is %d bytes long, the controller holds %d", n, job.Machine.Serial.Buffer)
		}
	}
	return pieces, nil
}

// cutLines cuts G-code at line ends. Lines that are blank or hold nothing but a
// comment are left out: they would only cost time on the wire.
func cutLines(text []byte) []piece {
	return slices.DeleteFunc(allLines(text), func(p piece) bool { return !saysSomething(text[p.start:p.end]) })
}

// allLines returns every line.
func allLines(text []byte) []piece {
	var out []piece
	for start, line := 0, 1; start < len(text); line++ {
		end := len(text)
		if i := bytes.IndexByte(text[start:], '\n'); i >= 0 {
			end = start + i + 1
		}
		out = append(out, piece{start: start, end: end, line: line})
		start = end
	}
	return out
}

// saysSomething reports whether a line of G-code holds more than blanks,
// comments and the percent sign that brackets a file.
func saysSomething(line []byte) bool {
	inside := false
	for _, b := range line {
		switch {
		case inside:
			inside = b != ')'
		case b == '(':
			inside = true
		case b == ';':
			return false
		case b > ' ' && b != '%':
			return true
		}
	}
	return false
}

// cutInstructions cuts HP-GL after each terminator. A label may hold any
// character until its own terminator, ETX, and is sent as one piece.
func cutInstructions(text []byte) []piece {
	var out []piece
	line := 1
	for start := 0; start < len(text); {
		first := start
		for first < len(text) && text[first] <= ' ' {
			first++
		}
		stop := byte(';')
		if bytes.HasPrefix(bytes.ToUpper(text[first:min(first+2, len(text))]), []byte("LB")) {
			stop = 3
		}
		end := len(text)
		if i := bytes.IndexByte(text[first:], stop); i >= 0 {
			end = first + i + 1
		}
		if first < len(text) {
			at := line + bytes.Count(text[start:first], []byte{'\n'})
			out = append(out, piece{start: start, end: end, line: at})
		}
		line += bytes.Count(text[start:end], []byte{'\n'})
		start = end
	}
	return out
}
