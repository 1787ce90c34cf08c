package told

import (
	"strings"

	"weftplot/paths/fault"
	"weftplot/plot"
)

// A Doubt is something that is surely wrong, and the steps that cause it.
type Doubt struct {
	Code  string   `json:"code"`
	What  string   `json:"what"`
	Do    string   `json:"do"`
	Steps []string `json:"steps"`
}

// doubtWords are what the page says of a doubt, which has steps and a button: where
// it is caused, what mends it there, and where its own advice begins.
var doubtWords = map[string]struct {
	steps      []string
	do, advice string
}{
	"words-left-out":        {[]string{"drawing"}, "turn the words into lines in the drawing program, or go on without them", ""},
	"blade-on-backing":      {[]string{"transfer", "machine"}, "choose Traced over light on the step Onto the cloth, or another pen on the step The machine", ": give ["},
	"pen-does-not-transfer": {[]string{"transfer", "machine"}, "choose heat-transfer-pen on the step The machine, for the border too", "; use "},
}

// DoubtsOf are what is surely wrong about a job, in the words of the page.
// DoubtsOf returns what is surely wrong about a job, in the words of the page.
func DoubtsOf(m plot.Registered) []Doubt {
	out := []Doubt{}
	for _, d := range m.Doubts() {
		shown := Doubt{d.Code, fault.Rename(d.Message, Label), fault.Rename(d.Do, Label), []string{"drawing"}}
		if w, known := doubtWords[d.Code]; known {
			shown.Steps, shown.Do = w.steps, w.do
			if w.advice != "" {
				shown.What, _, _ = strings.Cut(d.Message, w.advice)
			}
		}
		out = append(out, shown)
	}
	return out
}
