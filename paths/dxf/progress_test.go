package dxf

import (
	"fmt"
	"strings"
	"testing"
)

// Reading tells how far it is while it parses and while it draws, in rising numbers, and
// at the end that all is done.
func TestProgressRises(t *testing.T) {
	var lines strings.Builder
	for i := range 2000 {
		fmt.Fprintf(&lines, "0 LINE 8 Ink 10 %d 20 0 11 %d 21 5 ", i, i)
	}
	for name, text := range map[string]string{
		"lines":  inModel(lines.String()),
		"a copy": withBlocks("0 BLOCK 2 B 10 0 20 0 "+lines.String()+"0 ENDBLK", "0 INSERT 2 B 10 0 20 0"),
	} {
		var told []int
		of := 0
		_, err := Read("test.dxf", []byte(text), Options{Progress: func(done, total int) {
			if n := len(told); n > 0 && (done <= told[n-1] || total != of) {
				t.Errorf("%s: %d of %d after %d of %d", name, done, total, told[n-1], of)
			}
			told, of = append(told, done), total
		}})
		if err != nil {
			t.Fatal(err)
		}
		if last := told[len(told)-1]; last != of {
			t.Errorf("%s: %d of %d at the end", name, last, of)
		}
		half := 0
		for _, done := range told {
			if 2*done <= of {
				half++
			}
		}
		if half < 50 || name == "lines" && len(told)-half < 50 {
			t.Errorf("%s: told %d times in the first half, %d in the second", name, half, len(told)-half)
		}
	}
}
