package language

import (
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/profiles"
)

// Queries are the instructions of a language that ask the machine along with the
// program, so that they are carried out, and answered, in their turn. The zero
// value has none.
type Queries struct {
	// Place asks where the pen is; [ParsePlace] reads the answer.
	Place string
	// Error asks for the number of the last error and clears it; the answer, a
	// whole number and 0 for none, comes when all before is carried out.
	// [ErrorWords] names the numbers.
	Error string
	// Wait is a dwell of no length: on a controller that answers every line, its
	// answer comes when all before is carried out (common practice).
	Wait string
}

// ParsePlace reads the answer to [Queries].Place of the HP-GL languages, three
// numbers, and returns where the pen is, mm: the place in plotter units, and
// whether the pen is down, which is not looked at. It is false for
// any other text.
func ParsePlace(m profiles.Machine, answer string) (paths.Point, bool) {
	f := strings.Split(strings.TrimSpace(answer), ",")
	if len(f) != 3 {
		return paths.Point{}, false
	}
	x, err1 := strconv.ParseFloat(f[0], 64)
	y, err2 := strconv.ParseFloat(f[1], 64)
	_, err3 := strconv.Atoi(f[2])
	at := paths.Point{X: x, Y: y}
	place, known := m.Units().Inverse()
	return place.Apply(at), known && err1 == nil && err2 == nil && err3 == nil && at.IsFinite()
}

// ErrorWords names an error number of the HP-GL languages: HP 7470A Interfacing
// and Programming Manual, page 1-13.
func ErrorWords(code int) string {
	names := map[int]string{1: "an unknown instruction", 2: "a wrong number of parameters", 3: "a parameter out of range",
		5: "an unknown character set", 6: "a position out of its reach", 8: "paper that is not loaded"}
	words := "error " + strconv.Itoa(code)
	if s, ok := names[code]; ok {
		words += ", " + s
	}
	return words
}
