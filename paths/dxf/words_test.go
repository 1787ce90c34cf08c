package dxf

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"weftplot/paths"
)

// wordsIn reads text as words, each as "TEXT x,y height turn anchor layer", with the
// codes of the notes.
func wordsIn(t *testing.T, blocks, entities string) (list []string, codes string) {
	t.Helper()
	d, err := Read("test.dxf", []byte(withBlocks(blocks, "0 LINE 8 Ink 10 0 20 0 11 1 21 0 "+entities)), Options{Words: true})
	if err != nil {
		t.Fatalf("%s: %v", entities, err)
	}
	var notes []string
	for _, n := range d.Notes {
		if n.Code != "size-from-file" {
			notes = append(notes, n.Code)
		}
	}
	for _, w := range d.Words {
		list = append(list, fmt.Sprintf("%s %.4g,%.4g %.4g %.4g %d %s", w.Text, 0+w.At.X, 0+w.At.Y, w.Height, 0+w.Turn*180/math.Pi, w.Anchor, w.Layer))
	}
	return list, strings.Join(notes, " ")
}

// TestWords: the groups and codes of TEXT, MTEXT and ATTRIB, by the DXF reference.
func TestWords(t *testing.T) {
	for _, c := range []struct{ name, blocks, entities, want, codes string }{
		{"plain", "", "0 TEXT 8 Ink 10 3 20 4 40 5 1 HOLD_FAST", "HOLD FAST 3,4 5 0 0 Ink", ""},
		{"turned", "", "0 TEXT 8 Ink 10 3 20 4 40 5 50 30 1 HOLD", "HOLD 3,4 5 30 0 Ink", ""},
		{"middle", "", "0 TEXT 8 Ink 10 3 20 4 11 30 21 40 72 1 40 5 1 HOLD", "HOLD 30,40 5 0 1 Ink", ""},
		{"right, top", "", "0 TEXT 8 Ink 10 3 20 4 11 30 21 40 72 2 73 3 40 5 1 HOLD", "HOLD 30,35 5 0 2 Ink", ""},
		{"left, middle, turned", "", "0 TEXT 8 Ink 11 30 21 40 73 2 40 10 50 90 1 HOLD", "HOLD 35,40 10 90 0 Ink", ""},
		{"between two points", "", "0 TEXT 8 Ink 10 3 20 4 11 13 21 14 72 3 40 5 1 HOLD", "HOLD 3,4 5 45 0 Ink", ""},
		{"codes", "", `0 TEXT 8 Ink 40 5 1 %%u20%%d_%%p1_%%%_\U+00C9%%065`, "20° ±1 % ÉA 0,0 5 0 0 Ink", ""},
		{"attribute", "", "0 ATTRIB 8 Ink 40 5 1 HOLD", "HOLD 0,0 5 0 0 Ink", ""},
		{"lines", "", `0 MTEXT 8 Ink 10 3 20 40 40 6 71 1 1 one\Ptwo`, "one 3,34 6 0 0 Ink|two 3,24 6 0 0 Ink", ""},
		{"lines from the middle", "", `0 MTEXT 8 Ink 10 3 20 40 40 6 71 5 1 one\Ptwo`, "one 3,42 6 0 1 Ink|two 3,32 6 0 1 Ink", ""},
		{"lines from the bottom", "", `0 MTEXT 8 Ink 10 3 20 40 40 6 71 9 44 2 1 one\Ptwo`, "one 3,60 6 0 2 Ink|two 3,40 6 0 2 Ink", ""},
		{"formatted", "", `0 MTEXT 8 Ink 10 3 20 40 40 6 71 7 3 {\fTwine|b0;o\~n 1 e\\}_\S1/2;\C3;`, "o\u00a0ne\\ 1/2 3,40 6 0 0 Ink", ""},
		{"of two sizes", "", `0 MTEXT 8 Ink 10 3 20 40 40 6 71 7 1 {\H2x;one}`, "one 3,40 6 0 0 Ink", "size-not-applied"},
		{"with a direction", "", `0 MTEXT 8 Ink 10 3 20 40 11 0 21 1 40 6 71 7 1 up`, "up 3,40 6 90 0 Ink", ""},
		{"in a block", "0 BLOCK 2 X 0 TEXT 8 0 10 1 20 1 40 5 1 A 0 ENDBLK", "0 INSERT 8 Ink 2 X 10 100 20 10 41 2 42 2 43 2 50 90", "A 98,12 10 90 0 Ink", ""},
		{"in a block, mirrored", "0 BLOCK 2 X 0 TEXT 8 0 40 5 1 A 0 ENDBLK", "0 INSERT 8 Ink 2 X 41 -1", "", "text-not-drawn"},
		{"backwards", "", "0 TEXT 8 Ink 40 5 71 2 1 A", "", "text-not-drawn"},
		{"of no height", "", "0 TEXT 8 Ink 1 A", "", "text-not-drawn"},
		{"empty", "", "0 TEXT 8 Ink 40 5 1 _", "", ""},
		{"damaged", "", "0 TEXT 8 Ink 40 x 1 A", "", "entity-damaged"},
		{"on a layer that is off", "", "0 TEXT 8 Off 40 5 1 A", "", "hidden"},
	} {
		list, codes := wordsIn(t, c.blocks, c.entities)
		if got := strings.Join(list, "|"); got != c.want || codes != c.codes {
			t.Errorf("%s: read %q with notes %q, want %q and %q", c.name, got, codes, c.want, c.codes)
		}
	}
}

// TestWordsAlone: a drawing of words alone is a design.
func TestWordsAlone(t *testing.T) {
	d, err := Read("test.dxf", []byte(inModel("0 TEXT 8 Ink 40 5 1 A")), Options{Words: true})
	if err != nil || len(d.Words) != 1 || d.Words[0].Anchor != paths.AnchorStart {
		t.Errorf("Read = %v, %v", d.Words, err)
	}
}
