package skeleton

import (
	"strings"
	"testing"
)

// drawn makes a mask of rows of text with a bare pixel around; # is ink.
func drawn(rows ...string) Plane {
	w := 0
	for _, r := range rows {
		w = max(w, len(r))
	}
	p := NewPlane(w+2, len(rows)+2)
	for y, r := range rows {
		for x, c := range r {
			if c == '#' {
				p.Pixels[(y+1)*p.W+x+1] = 1
			}
		}
	}
	return p
}

// block is ink w wide and h high.
func block(w, h int) []string {
	rows := make([]string, h)
	for y := range rows {
		rows[y] = strings.Repeat("#", w)
	}
	return rows
}

// text is a mask as rows, without the pixel around.
func (p Plane) text() string {
	var b strings.Builder
	for y := 1; y < p.H-1; y++ {
		for x := 1; x < p.W-1; x++ {
			b.WriteByte(".#"[p.Pixels[y*p.W+x]])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// TestThinWorkedResults compares thinning with results worked out by hand on
// small blocks, from the conditions printed in Zhang and Suen, Communications
// of the ACM 27 (1984) 236-239.
func TestThinWorkedResults(t *testing.T) {
	for _, c := range []struct {
		name string
		in   []string
		want string
	}{
		{"a block of 2 by 2 vanishes", block(2, 2), "..\n..\n"},
		{"3 by 3", block(3, 3), "...\n.#.\n...\n"},
		{"5 by 5", block(5, 5), ".....\n.....\n..#..\n.....\n.....\n"},
		{"3 high", block(10, 3), "..........\n.#######..\n..........\n"},
		{"4 high", block(10, 4), "..........\n..######..\n..........\n..........\n"},
		{"a line of 5", block(5, 1), "#####\n"},
		{"a T", append(block(11, 3), "....###....", "....###....", "....###....", "....###....", "....###...."),
			"...........\n.########..\n.....#.....\n.....#.....\n.....#.....\n.....#.....\n...........\n...........\n"},
	} {
		p := drawn(c.in...)
		Thin(p, zhangSuen)
		if got := p.text(); got != c.want {
			t.Errorf("%s: thinned to\n%swant\n%s", c.name, got, c.want)
		}
	}
}

// TestThinKeepsSlantingLines: lines two pixels wide at 45 degrees vanish by the
// rule as published, and keep their length by the amended one.
func TestThinKeepsSlantingLines(t *testing.T) {
	rows := make([]string, 30)
	for y := range rows {
		rows[y] = strings.Repeat(".", y) + "##"
	}
	left := func(rule *Rule) int {
		p := drawn(rows...)
		Thin(p, rule)
		UnitWidth(p)
		return strings.Count(p.text(), "#")
	}
	if n := left(LuWang); n < 28 || n > 32 {
		t.Errorf("%d pixels are left of a line 30 long", n)
	}
	if n := left(zhangSuen); n > 5 {
		t.Errorf("%d pixels are left by the published rule, which was to leave hardly any", n)
	}
}
