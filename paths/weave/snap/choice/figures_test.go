package choice

import (
	"math/rand/v2"
	"testing"
)

// Every figure gets what it needs of those that can, in one design and in its mirror
// image, and among the channels with which they do none cost less, by trying all of them.
func TestFiguresGetTheirSpacings(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 14))
	met := 0
	for n := range 300 {
		lines := randomLines(r, 4, 24)
		a, b := r.IntN(len(lines)), r.IntN(len(lines))
		if lines[a].At > lines[b].At {
			a, b = b, a
		}
		need := Spacing{a, b, max(1, int(lines[b].At-lines[a].At)+r.IntN(3)-1)}
		g := free(lines)
		g.Figures = []Figure{{Spacings: []Spacing{need}}}
		got := chooseChannels(g)
		apart := got.Channel[b] - got.Channel[a]
		if got.Unmet == 0 {
			if met++; apart != need.Count {
				t.Fatalf("design %d: a figure needs %d channels and got %d", n, need.Count, apart)
			}
		}
		c := pose(g)
		p := c.stated()
		k := make([]int, len(c.first))
		for i := range lines {
			k[c.bundle[i]] = got.Channel[i]
		}
		if least := searchAll(c, p, k, 3); !same(least, got.Cost) && least < got.Cost {
			t.Fatalf("design %d: cost %g, and %g by trying all", n, got.Cost, least)
		}
		if got.Unmet == 0 {
			continue
		}
		// With no other bound than those of the lines, no choice has the spacing.
		without := pose(free(lines))
		if without.meetOne(need) {
			t.Fatalf("design %d: %d channels from line %d to %d can be had", n, need.Count, a, b)
		}
	}
	if met < 100 {
		t.Errorf("only %d of 300 needs were met", met)
	}
}

// A figure of its own whose middle is the mirror's says whether that goes in a channel or
// midway; one about another middle says nothing of it.
func TestFiguresTellTheMirror(t *testing.T) {
	for _, c := range []struct {
		width  int
		middle float64
		odd    int
	}{{5, 10.3, 1}, {6, 10.3, 0}, {5, 12, 1}, {6, 12, 1}} {
		lines := []Line{{Extent: Extent{At: 4, Lo: 0, Hi: 20}, Weight: 20}, {Extent: Extent{At: 16.6, Lo: 0, Hi: 20}, Weight: 20}}
		a := Channels(Problem{Lines: lines, Figures: []Figure{{Width: c.width, Middle: c.middle}}})
		if a.Mirror == nil {
			t.Fatalf("%+v: no mirror", c)
		}
		if a.Unmet > 0 || a.Mirror.Twice%2 != c.odd {
			t.Errorf("%+v: the mirror is at half of %d, %d unmet", c, a.Mirror.Twice, a.Unmet)
		}
	}
}
