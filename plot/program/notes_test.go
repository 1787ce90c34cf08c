package program

import (
	"strings"
	"testing"
)

func TestNoterKeepsAFew(t *testing.T) {
	var n Noter
	for i := range 1000 {
		n.Add("many", i+1, "word %d", i)
	}
	n.Once("once", 5, "first")
	n.Once("once", 6, "second")
	got := n.Notes()
	if len(got) != notesPerCode+1 {
		t.Fatalf("%d notes, want %d", len(got), notesPerCode+1)
	}
	if last := got[notesPerCode-1].Message; !strings.HasSuffix(last, "(and 980 more like this)") {
		t.Errorf("the last of many is %q", last)
	}
	if got[notesPerCode].Message != "first" {
		t.Errorf("once kept %q", got[notesPerCode].Message)
	}
}
