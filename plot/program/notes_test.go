package program

import (
	"slices"
	"strings"
	"testing"

	"weftplot/paths"
)

// TestWordsThatShow: of words of which nothing can be seen a note has none.
func TestWordsThatShow(t *testing.T) {
	var n Noter
	for i, words := range []string{"\x1b", "\x00", " ", "\u200b", "", "PU\x00", "\x1b%0A"} {
		n.Doubt("code", words, i+1, "%d", i)
	}
	var got []string
	for _, note := range n.list(doubt) {
		got = append(got, note.Words)
	}
	if want := []string{"", "", "", "", "", "PU", "%0A"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestNoterKeepsAFew(t *testing.T) {
	var n Noter
	for i := range 1000 {
		n.Add("many", i+1, "word %d", i)
	}
	n.Once("once", 5, "first")
	n.Once("once", 6, "second")
	for i := range 30 {
		n.Add("same", 10+i, "a label is not drawn")
	}
	n.AddAt(paths.Point{X: 3}, "place", 7, "here")
	got := n.list(harmless)
	if len(got) != kindsPerCode+3 {
		t.Fatalf("%d notes, want %d", len(got), kindsPerCode+3)
	}
	if last := got[kindsPerCode-1].Message; !strings.HasSuffix(last, "(and 980 more like this)") {
		t.Errorf("the last of many is %q", last)
	}
	if got[kindsPerCode].Message != "first" {
		t.Errorf("once kept %q", got[kindsPerCode].Message)
	}
	if same := got[kindsPerCode+1]; same.Message != "a label is not drawn (30 times, last on line 39)" || same.Line != 10 {
		t.Errorf("the same thirty times is %+v", same)
	}
	if at := got[kindsPerCode+2].At; at == nil || at.X != 3 {
		t.Errorf("the place is %v", at)
	}
}
