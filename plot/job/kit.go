package job

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/label"
	"weftplot/plot/disk"
)

// ClothWidth is the width of cloth for copies where none is said: backings are commonly
// sold about so wide (common practice).
const ClothWidth = "60in"

// MostCopies is the most rugs on one cloth.
const MostCopies = 2000

// Named is a line of a file of names.
type Named struct {
	Name string
	// Channels is the width of the rug in channels across; 0 is as the settings say.
	Channels int
	Line     int // of the file, from 1
}

// IsKit reports whether the settings ask for copies on one cloth.
func (s Settings) IsKit() bool { return s.Copies > 0 || s.Names != "" }

// ClothSize returns the width of the cloth for copies and its length in mm; a length of 0
// is as much as is needed. What is no size is a [fault.Input].
func (s Settings) ClothSize() (width, length float64, err error) {
	across, along, two := strings.Cut(or(s.Cloth, ClothWidth), "x")
	for i, part := range []struct {
		text string
		to   *float64
	}{{across, &width}, {along, &length}} {
		if i == 1 && !two {
			break
		}
		l, err := paths.ParseLength(part.text)
		if err != nil || l <= 0 || l > 1e5 {
			return 0, 0, fault.Bad("cloth", `give a width, or width and length, such as "60in" or "60inx5yd"`, "%q is no size of cloth", s.Cloth)
		}
		*part.to = float64(l)
	}
	return width, length, nil
}

// GapBetween returns the cloth between two finished rugs in mm, for a margin of each.
// What is no length is a [fault.Input].
func (s Settings) GapBetween(margin float64) (float64, error) {
	if s.Gap == "" {
		return 2 * margin, nil
	}
	l, err := paths.ParseLength(s.Gap)
	if err != nil {
		return 0, fault.At("gap", err)
	}
	if l < 0 || l > 1e4 {
		return 0, fault.Bad("gap", `give a length, such as "8in"`, "a gap of %s between rugs is not possible", s.Gap)
	}
	return float64(l), nil
}

// validateKit checks what is said of copies and can be judged by itself.
func (s Settings) validateKit() error {
	if s.Copies < 0 || s.Copies > MostCopies {
		return fault.Bad("copies", fmt.Sprintf("give a number from 1 to %d", MostCopies), "%d copies cannot be drawn", s.Copies)
	}
	for number := range s.MarksFor {
		if _, err := loadNumber(number); err != nil {
			return err
		}
	}
	if !s.IsKit() {
		if len(s.MarksFor) > 0 && !s.Panels {
			return fault.Bad("marks-for", "give the registration of this rug with [marks], or have it drawn in several loads with [panels]", "this is for cloth that is drawn in several loads, and there is one")
		}
		for _, k := range []struct {
			key   string
			given bool
		}{{"cloth", s.Cloth != ""}, {"gap", s.Gap != ""}, {"turn", s.Turn}} {
			if k.given {
				return fault.Bad(k.key, "say how many with [copies], or for whom with [names]", "this is for copies on one cloth, and there is a single rug")
			}
		}
		return nil
	}
	if !s.HasMachine() {
		return fault.Bad("copies", "leave them out, and print or trace the one pattern as often as it is needed; or name a [machine]",
			"copies are laid out for a machine that draws them, and there is none")
	}
	if _, _, err := s.ClothSize(); err != nil {
		return err
	}
	_, err := s.GapBetween(0)
	return err
}

func setCopies(s *Settings, texts []string) error {
	n, err := strconv.Atoi(texts[0])
	if err != nil || n < 1 || n > MostCopies {
		return fault.Bad("", fmt.Sprintf("give a number from 1 to %d", MostCopies), "%q is no number of copies", texts[0])
	}
	s.Copies = n
	return nil
}

func addMarksFor(s *Settings, texts []string) error {
	for _, v := range texts {
		number, file, _ := strings.Cut(v, "=")
		n, err := loadNumber(number)
		if err != nil || file == "" {
			return fault.Bad("", `write LOAD=FILE, such as "2=marks.toml"`, "%q names no load and file", v)
		}
		if s.MarksFor == nil {
			s.MarksFor = map[string]string{}
		}
		s.MarksFor[strconv.Itoa(n)] = file
	}
	return nil
}

// loadNumber reads the number of a load, from 1.
func loadNumber(text string) (int, error) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 10*MostCopies {
		return 0, fault.Bad("marks-for", "loads are numbered from 1", "%q is no number of a load", text)
	}
	return n, nil
}

// readNames reads whom the copies are for.
func (k *keeper) readNames(in *Inputs, s *Settings) error {
	if s.Names == "" {
		return nil
	}
	data, err := k.read(s.Names, disk.MaxText)
	if err != nil {
		return err
	}
	if in.Names, err = ParseNames(s.Names, data); err != nil {
		return err
	}
	alpha, err := s.Letters()
	if err != nil {
		return err
	}
	for _, n := range in.Names {
		if err := alpha.Check(n.Name); err != nil {
			return fault.At(fmt.Sprintf("%s, line %d", s.Names, n.Line), err)
		}
	}
	if s.Copies != 0 && s.Copies != len(in.Names) {
		return fault.Bad("copies", "give one of the two", "%d copies are asked for, and %s holds %d names", s.Copies, s.Names, len(in.Names))
	}
	s.Names = k.keep("names.csv", data)
	return nil
}

// ParseNames reads a file of names in UTF-8, one on each line; empty lines are passed
// over. After a comma a line may give the width of that rug in channels across (CSV, RFC
// 4180). A file that is none is a [fault.Input] that names the line.
func ParseNames(file string, data []byte) ([]Named, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		return nil, fault.Bad(file, "save it as plain text in UTF-8", "this is no list of names in UTF-8")
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = -1, true, true
	var names []Named
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fault.Bad(file, "write one name on each line", "this is no list of names: %v", err)
		}
		line, _ := r.FieldPos(0)
		n, err := parseNamed(fmt.Sprintf("%s, line %d", file, line), fields)
		if err != nil {
			if len(names) == 0 && line == 1 && isHeading(fields) {
				continue
			}
			return nil, err
		}
		if n.Line = line; n.Name != "" {
			names = append(names, n)
		}
		if len(names) > MostCopies {
			return nil, fault.Bad(file, "draw them in several jobs", "the list holds more than %d names", MostCopies)
		}
	}
	if len(names) == 0 {
		return nil, fault.Bad(file, "write one name on each line", "the list holds no names")
	}
	return names, nil
}

// isHeading reports whether a line names the columns: its first word is "name".
func isHeading(fields []string) bool {
	return len(fields) == 2 && strings.EqualFold(strings.TrimSpace(fields[0]), "name")
}

// parseNamed reads one line.
func parseNamed(where string, fields []string) (Named, error) {
	n := Named{Name: label.Clean(strings.TrimSpace(fields[0]), label.Line)}
	size := ""
	if len(fields) == 2 {
		size = strings.TrimSpace(fields[1])
	}
	if len(fields) > 2 {
		return n, fault.Bad(where, `write a name, or a name, a comma and a number of channels, such as "Ada,180"; a name that holds a comma goes in quotation marks`, "the line has %d columns", len(fields))
	}
	if size == "" {
		return n, nil
	}
	var err error
	if n.Channels, err = strconv.Atoi(size); err != nil || n.Channels < 1 || n.Channels > 1e5 {
		return n, fault.Bad(where, "give the width of the rug in channels across, such as 180", "%q is no size in channels", size)
	}
	if n.Name == "" {
		return n, fault.Bad(where, "write the name before the comma", "the line has a size and no name")
	}
	return n, nil
}
