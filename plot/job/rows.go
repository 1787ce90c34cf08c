package job

import (
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// A side is one side of the rug as a person says it: a length or rows of holes.
type side struct {
	length paths.Length
	rows   int
}

// UnmarshalText reads what [paths.ParseRugLength] reads; what is not above zero is a
// [fault.Input].
func (z *side) UnmarshalText(text []byte) error {
	rows, ok, err := paths.ParseRows(string(text))
	if err == nil && ok && rows == 0 {
		err = noSize(string(text))
	}
	*z = side{rows: rows}
	if !ok {
		z.length, err = paths.ParseLength(string(text))
	}
	return err
}

// mostRows is the greatest number of rows of holes that a border, a gap or a margin has.
const mostRows = 1000

// rowsOfHoles reads a number of rows of holes from 0 to mostRows, with or without the word:
// 4, 4rows.
func rowsOfHoles(text string) (n int, ok bool) {
	n, word, err := paths.ParseRows(text)
	if !word {
		n, err = strconv.Atoi(strings.TrimSpace(text))
	}
	return n, err == nil && n >= 0 && n <= mostRows
}

func noSize(text string) error {
	return fault.Bad("", `give a size above zero, such as "24in", "61cm" or "216rows"`, "%s is no size", text)
}

// rugSize sets a side of the rug, in mm or in rows of holes.
func rugSize(fields func(*Settings) (*paths.Length, *int)) func(*Settings, []string) error {
	return func(s *Settings, texts []string) error {
		var z side
		err := z.UnmarshalText([]byte(texts[0]))
		if err == nil && z.rows == 0 && z.length <= 0 {
			err = noSize(texts[0])
		}
		length, rows := fields(s)
		*length, *rows = z.length, z.rows
		return err
	}
}

// Sized reports whether a finished size is said.
func (s Settings) Sized() bool {
	return s.Width > 0 || s.Height > 0 || s.WidthRows > 0 || s.HeightRows > 0
}

// WithRows returns s with lengths in place of what is said in rows of holes, by the
// count of the weave. Rows of margin are counted by the wider channel: so many at least
// are left on every side.
func (s Settings) WithRows(g weave.Grid) (Settings, error) {
	if s.WidthRows > 0 {
		s.Width, s.WidthRows = paths.Length(float64(s.WidthRows)*g.Across), 0
	}
	if s.HeightRows > 0 {
		s.Height, s.HeightRows = paths.Length(float64(s.HeightRows)*g.Along), 0
	}
	if rows, ok, err := paths.ParseRows(s.Margin); ok {
		if err != nil {
			return s, fault.At("margin", err)
		}
		s.Margin = paths.Length(float64(rows) * max(g.Across, g.Along)).String()
	}
	return s, nil
}
