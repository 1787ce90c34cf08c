package language

import (
	"math"
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
	// Status asks for the number of the plotter's state, of which [Status] is
	// made, and clears what it says of a start.
	Status string
	// Window asks for the corners of the area in which the pen goes down:
	// [Numbers] reads the four numbers of the answer.
	Window string
	// Wait is a dwell of no length: on a controller that answers every line, its
	// answer comes when all before is carried out (common practice).
	Wait string
}

// Numbers reads the answer to a query of the HP-GL languages: numbers apart by
// commas. It is false for any other text.
func Numbers(answer string) ([]float64, bool) {
	var out []float64
	for f := range strings.SplitSeq(strings.TrimSpace(answer), ",") {
		v, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, false
		}
		out = append(out, v)
	}
	return out, true
}

// ParsePlace reads the answer to [Queries].Place of the HP-GL languages, three
// numbers, and returns where the pen is, mm, and whether it is down. It is false
// for any other text.
func ParsePlace(m profiles.Machine, answer string) (at paths.Point, down, ok bool) {
	n, ok := Numbers(answer)
	if !ok || len(n) != 3 || n[2] != 0 && n[2] != 1 {
		return paths.Point{}, false, false
	}
	place, known := m.Units().Inverse()
	return place.Apply(paths.Point{X: n[0], Y: n[1]}), n[2] == 1, known
}

// Status is what a plotter tells of itself: HP 7470A Interfacing and Programming
// Manual, page 7-8.
type Status int

// ParseStatus reads the answer to [Queries].Status. It is false for a number that
// is no status: one without the bit that says that the plotter is ready.
func ParseStatus(n float64) (Status, bool) {
	s := Status(n)
	return s, float64(s) == n && s >= 0 && s < 64 && s&16 != 0
}

// Began is the bit of a plotter that was started or initialised.
const Began Status = 8

// Began reports whether the plotter was started or initialised since its status
// was last asked.
func (s Status) Began() bool { return s&Began != 0 }

// Failed reports whether the plotter has an error to tell.
func (s Status) Failed() bool { return s&32 != 0 }

// Unloaded is the error number of a plotter whose pinch wheels were raised, or
// whose paper is not loaded: what it drew on may have shifted (7470A, 1-13).
const Unloaded = 8

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
