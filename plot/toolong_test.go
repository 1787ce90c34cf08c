package plot

import (
	"errors"
	"strings"
	"testing"

	"weftplot/paths/fault"
	"weftplot/plot/program"
	"weftplot/profiles"
)

// A program that could not be read back is refused before it is made, with what a person
// can do; 250,000 strokes of one line each, the most that a design may hold, are not.
func TestTooLong(t *testing.T) {
	var l Laid
	l.Inputs.Design.Name = "mat.svg"
	pen := profiles.Pen{Name: "marker"}
	if err := l.tooLong(pen, strokeSteps*maxStrokes); err != nil {
		t.Errorf("%d strokes: %v", maxStrokes, err)
	}
	err := l.tooLong(pen, program.MostBlocks)
	if !errors.Is(err, fault.Fit) || !strings.Contains(err.Error(), "the pen marker would have 1048576 steps") {
		t.Errorf("it says %v", err)
	}
}
