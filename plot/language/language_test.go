package language

import "testing"

func TestLooksLikeHPGL(t *testing.T) {
	for text, want := range map[string]bool{
		"IN;SP1;": true, " in;pu0,0;": true, "\x1b.(;IN;": true, ";;PU": true, "\x1b%0BIN": true, ";IN;": true, "\n;;;PU;": true,
		"; not ours\nG21": false, "; in mm\nG0 X1": false, "Dear Morag": false,
		"G21 G90": false, "(comment)\nG0": false, "%\nG0 X1": false, "N10 G0": false, "": false, "X1 Y2": false,
	} {
		if got := LooksLikeHPGL([]byte(text)); got != want {
			t.Errorf("LooksLikeHPGL(%q) = %v", text, got)
		}
	}
}
