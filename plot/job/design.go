package job

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"weftplot/paths"
	"weftplot/paths/dxf"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/paths/svg"
)

// ReadDesign reads an SVG or DXF design: DXF where the text looks like it or the
// name ends in .dxf, else SVG. The fonts draw its text. A design that is sound but
// holds no line work is no error: its notes say what it holds instead. One that
// cannot be read, and settings that its format has no use for, are a
// [fault.Input].
func ReadDesign(name string, data []byte, s Settings, fonts []svg.Font) (d paths.Design, err error) {
	return readDesign(name, data, s, fonts, nil)
}

// readDesign is [ReadDesign] that tells progress, unless nil, how much is read.
func readDesign(name string, data []byte, s Settings, fonts []svg.Font, progress func(done, total int)) (d paths.Design, err error) {
	switch {
	case len(data) == 0:
		return paths.Design{}, fault.Bad(name, "give an SVG or DXF design", "the file is empty")
	case pictureKind(data) != "":
		return paths.Design{}, fault.Bad(name, fmt.Sprintf("trace its lines first: weftplot scan %s", label.Clean(name, label.Line)), "it is %s, and no drawing of lines", pictureKind(data))
	case dxf.Looks(data) || strings.EqualFold(filepath.Ext(name), ".dxf"):
		d, err = readDXF(name, data, s, progress)
	case s.Units != "":
		return paths.Design{}, fault.Bad("units", "say how large the rug is to be: [width] 24in", "an SVG design says by itself in what unit it is drawn")
	default:
		d, err = svg.Read(name, data, svg.Options{Words: true, Dashes: s.Dashes, Unite: s.Unite, Skip: s.Skip, Fonts: fonts, Progress: progress})
	}
	if err != nil && len(d.Notes) > 0 {
		return d, nil
	}
	if err != nil {
		return d, err
	}
	return writable(d, s)
}

// writable leaves out the words that the alphabet of the settings cannot write, and
// notes them.
func writable(d paths.Design, s Settings) (paths.Design, error) {
	if len(d.Words) == 0 {
		return d, nil
	}
	a, err := s.Letters()
	if err != nil {
		return d, err
	}
	var kept []paths.Words
	for _, w := range d.Words {
		bad := fault.Request(a.Check(w.Text))
		if bad == nil {
			kept = append(kept, w)
			continue
		}
		d.Notes = append(d.Notes, paths.Note{Code: "text-not-drawn", Element: w.Element, Line: w.Line,
			Message: fmt.Sprintf("It is not drawn: %v; %s. It reads %q.", bad, bad.Do, label.Clean(w.Text, label.Line))})
	}
	d.Words = kept
	return d, nil
}

// pictureMarks are how files of pictures begin, at an offset, by the definitions of
// their formats.
var pictureMarks = []struct {
	at         int
	mark, kind string
}{
	{0, "\x89PNG\r\n\x1a\n", "a picture (PNG)"},
	{0, "\xff\xd8\xff", "a picture (JPEG)"},
	{0, "GIF87a", "a picture (GIF)"}, {0, "GIF89a", "a picture (GIF)"},
	{0, "II*\x00", "a picture (TIFF)"}, {0, "MM\x00*", "a picture (TIFF)"},
	{0, "II+\x00", "a picture (TIFF)"}, {0, "MM\x00+", "a picture (TIFF)"},
	{8, "WEBP", "a picture (WebP)"},
	{4, "ftypheic", "a picture (HEIC)"}, {4, "ftypheix", "a picture (HEIC)"}, {4, "ftypmif1", "a picture (HEIF)"},
	{4, "ftypmsf1", "a picture (HEIF)"}, {4, "ftypavif", "a picture (AVIF)"},
}

// pictureKind says what picture or paper a file is, "" when it is none.
func pictureKind(data []byte) string {
	for _, m := range pictureMarks {
		if len(data) >= m.at && bytes.HasPrefix(data[m.at:], []byte(m.mark)) {
			return m.kind
		}
	}
	switch {
	case bytes.HasPrefix(bytes.TrimSpace(data[:min(len(data), 1024)]), []byte("%PDF-")):
		return "a PDF"
	case len(data) >= 26 && bytes.HasPrefix(data, []byte("BM")) && data[14] < 128 && data[15]|data[16]|data[17] == 0 && data[14] >= 12:
		return "a picture (BMP)"
	}
	return ""
}

// readDXF reads a DXF design in the unit that was said, else in the file's own.
// It need have none where the finished size is said.
func readDXF(name string, data []byte, s Settings, progress func(done, total int)) (paths.Design, error) {
	switch {
	case s.Unite:
		return paths.Design{}, fault.Bad("unite", "leave it out", "a DXF design has no filled shapes to unite")
	case len(s.Font) > 0:
		return paths.Design{}, fault.Bad("font", "leave it out, and choose an [alphabet]", "the text of a DXF design is drawn in single-line letters, not in a font")
	}
	opt := dxf.Options{Words: true, Proportions: s.Sized(), Progress: progress}
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
