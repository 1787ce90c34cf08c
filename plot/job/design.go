package job

import (
	"fmt"
	"path/filepath"
	"strings"

	"weftplot/paths"
	"weftplot/paths/dxf"
	"weftplot/paths/fault"
	"weftplot/paths/svg"
)

// ReadDesign reads an SVG or DXF design: DXF where the text looks like it or the
// name ends in .dxf, else SVG. The fonts draw its text. A design that is sound but
// holds no line work is no error: its notes say what it holds instead. One that
// cannot be read, and settings that its format has no use for, are a
// [fault.Input].
func ReadDesign(name string, data []byte, s Settings, fonts []svg.Font) (d paths.Design, err error) {
	switch {
	case len(data) == 0:
		return paths.Design{}, fault.Bad(name, "give an SVG or DXF design", "the file is empty")
	case dxf.Looks(data) || strings.EqualFold(filepath.Ext(name), ".dxf"):
		d, err = readDXF(name, data, s)
	case s.Units != "":
		return paths.Design{}, fault.Bad("units", "say how large the rug is to be: [width] 24in", "an SVG design says by itself in what unit it is drawn")
	default:
		d, err = svg.Read(name, data, svg.Options{Dashes: s.Dashes, Unite: s.Unite, Skip: s.Skip, Fonts: fonts})
	}
	if err != nil && len(d.Notes) > 0 {
		return d, nil
	}
	return d, err
}

// readDXF reads a DXF design in the unit that was said, else in the file's own.
// It need have none where the finished size is said.
func readDXF(name string, data []byte, s Settings) (paths.Design, error) {
	switch {
	case s.Unite:
		return paths.Design{}, fault.Bad("unite", "leave it out", "a DXF design has no filled shapes to unite")
	case len(s.Font) > 0:
		return paths.Design{}, fault.Bad("font", "turn its text into lines in the drawing program", "the text of a DXF design is not drawn")
	}
	opt := dxf.Options{Proportions: s.Width > 0 || s.Height > 0}
	if s.Units != "" {
		if err := s.Validate(); err != nil {
			return paths.Design{}, err
		}
		unit, err := paths.ParseLength("1" + s.Units)
		if err != nil {
			return paths.Design{}, err
		}
		opt.Unit = float64(unit)
	}
	return dxf.Read(name, data, opt)
}

// NoteText writes a reader's note with its place in the file.
func NoteText(n paths.Note) string {
	text := n.Message
	if n.More != "" {
		text += " " + n.More
	}
	switch {
	case n.Line > 0 && n.Element != "":
		return fmt.Sprintf("line %d, %s: %s", n.Line, n.Element, text)
	case n.Line > 0:
		return fmt.Sprintf("line %d: %s", n.Line, text)
	}
	return text
}
