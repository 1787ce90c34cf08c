package cloth

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/keyfile"
	"weftplot/paths/weave"
)

// Mark is a place on the weave and where the machine finds it.
type Mark struct {
	Place weave.Place
	At    paths.Point // machine mm
}

// maxMarks bounds a marks file: nobody would steer a pen to more.
const maxMarks = 1000

// marksFile is the form of a marks file. The fields are pointers, so that a
// missing key differs from a zero.
type marksFile struct {
	Mark []markTable `toml:"mark"`
}

type markTable struct {
	Across *float64      `toml:"across"`
	Along  *float64      `toml:"along"`
	X      *paths.Length `toml:"x"`
	Y      *paths.Length `toml:"y"`
}

const marksHelp = `each mark is a table [[mark]] with the keys across and along in channels, and x and y as lengths such as "61.2mm"`

// ParseMarks reads the TOML text of a marks file; the file's name is for
// messages. A missing or unknown key, a bare number for a length, a number that
// is not finite or is beyond any cloth is a [fault.Error] that names file, line
// or mark, and key. A file without marks is refused too; whether the marks can
// be fitted is for [Fit] to decide.
func ParseMarks(file string, data []byte) ([]Mark, error) {
	var f marksFile
	if err := keyfile.Decode(file, data, &f); err != nil {
		return nil, err
	}
	if len(f.Mark) == 0 {
		return nil, fault.Bad(file, marksHelp, "there are no marks")
	}
	if len(f.Mark) > maxMarks {
		return nil, fault.Bad(file, "a grid of 9 to 25 marks serves any rug", "%d marks are more than the %d that can be used", len(f.Mark), maxMarks)
	}
	marks := make([]Mark, len(f.Mark))
	for i, m := range f.Mark {
		var err error
		if marks[i], err = m.mark(fmt.Sprintf("%s: mark %d", file, i+1)); err != nil {
			return nil, err
		}
	}
	return marks, nil
}

// mark returns what a table says.
func (m markTable) mark(where string) (Mark, error) {
	for _, k := range []struct {
		key     string
		missing bool
	}{{"across", m.Across == nil}, {"along", m.Along == nil}, {"x", m.X == nil}, {"y", m.Y == nil}} {
		if k.missing {
			return Mark{}, fault.Bad(where, marksHelp, "the key %q is missing", k.key)
		}
	}
	out := Mark{place(*m.Across, *m.Along), paths.Point{X: float64(*m.X), Y: float64(*m.Y)}}
	return out, out.check(where)
}

// check refuses numbers beyond any cloth. NaN is refused too.
func (m Mark) check(where string) error {
	for _, v := range []float64{m.Place.Across, m.Place.Along} {
		if !(math.Abs(v) <= 1e5) {
			return fault.Bad(where, "count in channels from the rug's lower left corner as drawn", "%g channels is no place on a rug", v)
		}
	}
	for _, v := range []float64{m.At.X, m.At.Y} {
		if !(math.Abs(v) <= weave.MostMM) {
			return fault.Bad(where, "give the place where the machine finds it", "%g mm is beyond any machine", v)
		}
	}
	return nil
}

// FormatMarks returns the TOML text of a marks file; [ParseMarks] reads it back
// to the same marks.
func FormatMarks(marks []Mark) []byte {
	var b bytes.Buffer
	b.WriteString("# places on the weave, in channels from the rug's lower left corner as drawn,\n" +
		"# and where the machine finds them\n")
	number := func(v float64) string {
		s := strconv.FormatFloat(v, 'f', -1, 64)
		if !strings.Contains(s, ".") {
			s += ".0"
		}
		return strings.TrimSuffix(s, ".0")
	}
	for _, m := range marks {
		fmt.Fprintf(&b, "\n[[mark]]\nacross = %s\nalong = %s\nx = %q\ny = %q\n",
			number(m.Place.Across), number(m.Place.Along), paths.Length(m.At.X), paths.Length(m.At.Y))
	}
	return b.Bytes()
}
