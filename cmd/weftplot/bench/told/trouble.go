package told

import (
	"errors"
	"net/http"
	"strings"

	"weftplot/paths/fault"
)

// A Trouble is an error as the page gets it: a sentence and what to do.
type Trouble struct {
	Where string `json:"where"` // a setting, a file, a port; may be empty
	What  string `json:"what"`
	Do    string `json:"do"`
	// Loads tells that the rug may be drawn in several loads instead.
	Loads bool `json:"loads"`
}

// TroubleOf puts any error into words for the page.
func TroubleOf(err error) Trouble {
	var large *tooLarge
	if errors.As(err, &large) {
		t := TroubleOf(large.error)
		t.Loads = true
		return t
	}
	var f *fault.Error
	if errors.As(err, &f) {
		what := f.What
		if f.State != "" {
			what += "; " + f.State
		}
		return Trouble{Where: f.Where, What: fault.Rename(what, Label), Do: fault.Rename(f.Do, Label)}
	}
	var big *http.MaxBytesError
	if errors.As(err, &big) {
		return Trouble{What: "the file is too large: 100 MB is the most that is read", Do: "save the drawing smaller, or as lines"}
	}
	return Trouble{What: err.Error()}
}

// tooLarge is the error of a rug that does not fit the machine, and that may be drawn in
// several loads.
type tooLarge struct{ error }

func (e *tooLarge) Unwrap() error { return e.error }

// MayDivide marks the error of a rug that does not fit the machine.
func MayDivide(err error) error {
	var f *fault.Error
	if errors.As(err, &f) && errors.Is(err, fault.Fit) && strings.HasPrefix(f.Where, "machine ") {
		return &tooLarge{err}
	}
	return err
}
