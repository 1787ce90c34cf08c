package language

import (
	"fmt"

	"weftplot/paths/fault"
	"weftplot/plot/gcode"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// Chunk is a part of a program's text that goes over the wire as a whole: a line
// of G-code; an instruction of HP-GL, a label or an encoded polyline with all
// that is in it.
type Chunk struct {
	Start, End int // byte offsets into the text
	Line       int // where its first byte that does something stands, from 1
	// Pause tells that the chunk asks for the person: it is not to be sent, the
	// person is asked instead, for what Words says.
	Pause bool
	Words string
}

// Cut divides the text of p, which p was read from, into chunks for m and marks
// the pauses. It refuses, with a [fault.Error] that names the line, G-code that
// the machine cannot be given by whole lines: a line longer than the controller
// holds, and one that both pauses and does something else, which would be lost.
func Cut(p program.Program, text []byte, m profiles.Machine) ([]Chunk, error) {
	l, err := Of(m.Language)
	if err != nil {
		return nil, err
	}
	pauses := map[int]string{} // by the offset after them
	for _, b := range p.Blocks {
		if b.Kind == program.Pause {
			pauses[b.End] = b.Text
		}
	}
	chunks := l.Chunks(text)
	for i := range chunks {
		c := &chunks[i]
		c.Words, c.Pause = pauses[c.End]
		if l.Name() != profiles.GCode {
			continue
		}
		if err := lineFits(*c, text[c.Start:c.End], m); err != nil {
			return nil, err
		}
	}
	return chunks, nil
}

func lineFits(c Chunk, line []byte, m profiles.Machine) error {
	where := fmt.Sprintf("line %d of the program", c.Line)
	if n := len(line); n > m.Serial.Buffer {
		return fault.Bad(where, "prepare the program again for this machine",
			"the line is %d bytes long, the controller holds %d", n, m.Serial.Buffer)
	}
	if c.Pause && !gcode.OnlyPauses(string(line)) {
		return fault.Bad(where, "put the word that pauses on a line of its own, or prepare the program again for this machine",
			"the line pauses and does something else as well")
	}
	return nil
}
