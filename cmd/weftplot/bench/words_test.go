package bench

import (
	"errors"
	"testing"

	"weftplot/paths/fault"
)

// TestSetWords: every key of the page's words sets its own, and what is none is
// refused at once.
func TestSetWords(t *testing.T) {
	j := &task{}
	for key, value := range map[string]string{"words": "QUAY", "alphabet": "counted", "words-at": "top", "words-height": "12rows", "words-shift": "3,-1"} {
		if err := j.setWritten(key, value); err != nil {
			t.Errorf("%s: %v", key, err)
		}
	}
	if s := j.settings; s.Words != "QUAY" || s.Alphabet != "counted" || s.WordsAt != "top" || s.WordsHeight != "12rows" || s.WordsShift != "3,-1" {
		t.Errorf("settings %+v", s)
	}
	for key, value := range map[string]string{"alphabet": "gothic", "words-shift": "up", "word": "QUAY"} {
		if err := j.setWritten(key, value); !errors.Is(err, fault.Input) {
			t.Errorf("%s %q: %v", key, value, err)
		}
	}
}
