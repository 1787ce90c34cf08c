package keptcloth

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"weftplot/paths"
	"weftplot/plot/disk"
	"weftplot/plot/jobfolder"
)

// Cloth is the simulated plotter's cloth, kept in a file beside the program:
// it outlives this program, as real cloth does. The file only ever grows, a line
// for each stroke, so that keeping one more costs the same however many there
// are.
type Cloth struct {
	file   string
	before []paths.Stroke // drawn by earlier runs
	kept   int            // strokes of this run in the file
}

// Beside puts under the simulated pen the cloth that is kept beside a program: a
// new one, or to resume a job the one that lies there.
func Beside(program string, resume bool) (*Cloth, error) {
	if resume {
		return Open(program + jobfolder.ClothExt)
	}
	return New(program + jobfolder.ClothExt)
}

// New puts an empty cloth under the simulated pen.
func New(file string) (*Cloth, error) {
	if err := os.Remove(file); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("the simulated cloth cannot be changed: %w", disk.Cause(err))
	}
	return &Cloth{file: file}, nil
}

// Open takes the cloth that lies there. A line that was not written to its
// end, as the program was killed, is no stroke.
func Open(file string) (*Cloth, error) {
	c := &Cloth{file: file}
	f, err := os.Open(file)
	if errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	if err != nil {
		return nil, fmt.Errorf("the simulated cloth cannot be read: %w", disk.Cause(err))
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, maxLine)
	for lines.Scan() {
		var parts []curve
		if json.Unmarshal(lines.Bytes(), &parts) != nil {
			continue
		}
		var s paths.Stroke
		for _, p := range parts {
			s = append(s, p.curve())
		}
		if len(s) > 0 {
			c.before = append(c.before, s)
		}
	}
	return c, lines.Err()
}

// Strokes are what lay on the cloth when it was opened, in the order of drawing.
func (c *Cloth) Strokes() []paths.Stroke { return c.before }

// maxLine is the longest line that is read, bytes.
const maxLine = 16 << 20

// curve is a line, an arc or a cubic as the file has it; one of them is not nil.
type curve struct {
	Line  *paths.Line  `json:"line,omitempty"`
	Arc   *paths.Arc   `json:"arc,omitempty"`
	Cubic *paths.Cubic `json:"cubic,omitempty"`
}

func (c curve) curve() paths.Curve {
	switch {
	case c.Arc != nil:
		return *c.Arc
	case c.Cubic != nil:
		return *c.Cubic
	case c.Line != nil:
		return *c.Line
	}
	return paths.Line{}
}

func curveOf(c paths.Curve) curve {
	switch c := c.(type) {
	case paths.Arc:
		return curve{Arc: &c}
	case paths.Cubic:
		return curve{Cubic: &c}
	case paths.Line:
		return curve{Line: &c}
	}
	return curve{}
}

// Keep adds the strokes of this run that are not in the file yet.
func (c *Cloth) Keep(now []paths.Stroke) error {
	if len(now) <= c.kept {
		return nil
	}
	f, err := os.OpenFile(c.file, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return fmt.Errorf("the simulated cloth cannot be kept: %w", disk.Cause(err))
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	if c.kept == 0 {
		w.WriteByte('\n') // ends what an earlier run may have left unfinished
	}
	for _, s := range now[c.kept:] {
		parts := []curve{}
		for _, k := range s {
			parts = append(parts, curveOf(k))
		}
		line, err := json.Marshal(parts)
		if err != nil {
			return fmt.Errorf("the simulated cloth cannot be kept: %w", err)
		}
		w.Write(append(line, '\n'))
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("the simulated cloth cannot be kept: %w", disk.Cause(err))
	}
	c.kept = len(now)
	return nil
}
