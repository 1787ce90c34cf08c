package proof

import (
	"math"
	"strconv"
	"testing"

	"weftplot/paths"
)

// With every note asked for, each has its number in the picture once, as a disc
// that touches no other, however many there are and however close together.
func TestEveryNoteIsMarked(t *testing.T) {
	s := Scene{Title: "notes", Rug: Outline(rect(0, 0, 400, 300)), EveryNote: true}
	s.Ink = []Ink{{Stroke: Outline(rect(20, 20, 360, 260)), Colour: "#1a1a1a", Width: 0.8}}
	for i := range 70 {
		at := pt(200+float64(i%7), 150+float64(i%5))
		if i%10 == 9 {
			at = pt(0, 300) // a corner
		}
		s.Notes = append(s.Notes, Note{At: &at, Label: "note " + strconv.Itoa(i+1)})
	}
	pic, err := drawScene(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	var discs []paths.Arc
	var numbers []string
	for _, n := range pic.nodes {
		g, ok := n.(*group)
		if !ok || g.id != "labels" {
			continue
		}
		for _, n := range g.nodes {
			switch n := n.(type) {
			case shape:
				if c, ok := n.strokes[0][0].(paths.Arc); ok && n.look.fill == paper {
					discs = append(discs, c)
				}
			case words:
				if _, err := strconv.Atoi(n.text); err == nil {
					numbers = append(numbers, n.text)
				}
			}
		}
	}
	if len(discs) != len(s.Notes) || len(numbers) != len(s.Notes) {
		t.Fatalf("%d discs and %d numbers for %d notes", len(discs), len(numbers), len(s.Notes))
	}
	page := paths.Rect{Max: pt(pic.w, pic.h)}
	for i, c := range discs {
		if numbers[i] != strconv.Itoa(i+1) {
			t.Errorf("disc %d bears the number %s", i+1, numbers[i])
		}
		if !page.Contains(c.Bounds().Min) || !page.Contains(c.Bounds().Max) {
			t.Errorf("disc %d is off the page", i+1)
		}
		for k := range i {
			if d := c.Centre.Dist(discs[k].Centre); d < c.Radius()+discs[k].Radius() || math.IsNaN(d) {
				t.Errorf("discs %d and %d overlap", i+1, k+1)
			}
		}
	}
	checkText(t, s)
}
