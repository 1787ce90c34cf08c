package proof

import (
	"fmt"
	"math"

	"weftplot/paths"
)

// A Pace is the ink that is drawn at a speed between two bounds. Where a scene
// has paces, they are shown instead of the ink and its own colours.
type Pace struct {
	// From and To bound the speed, in mm/s.
	From, To float64
	// Strokes are drawn at that speed, in mm, by a line of Width mm.
	Strokes []paths.Stroke
	Width   float64
}

// shades are the colours of paces, dark to light: slow lines are dark, as a
// slow pen leaves more ink. They differ in lightness alone, so that anybody can
// tell them apart, in print too, and the lightest can be seen on the cloth.
var shades = []string{"#10243f", "#1b406a", "#245991", "#3874b2", "#5a91ca"}

// shadeOf returns the colour of pace i of n.
func shadeOf(i, n int) string {
	if n < 2 {
		return shades[0]
	}
	return shades[int(math.Round(float64(i)*float64(len(shades)-1)/float64(n-1)))]
}

func (l *layout) paceLook(i int) *look {
	p := l.scene.Paces[i]
	return &look{stroke: shadeOf(i, len(l.scene.Paces)), width: math.Max(p.Width, inkLeast*l.em), round: true}
}

// paces draws the ink by its speed, the slow on top: they are short, at corners
// and at ends.
func (l *layout) paces() *group {
	g := &group{id: "ink", title: "what is drawn, by its speed"}
	for i := len(l.scene.Paces) - 1; i >= 0; i-- {
		p := l.scene.Paces[i]
		if len(p.Strokes) == 0 {
			continue
		}
		sub := &group{class: "pace", title: p.words(), look: l.paceLook(i)}
		for _, s := range p.Strokes {
			sub.add(shape{strokes: []paths.Stroke{s}})
		}
		g.add(sub)
	}
	return g
}

func (p Pace) words() string { return fmt.Sprintf("%g to %g mm/s", p.From, p.To) }

// paceEntries explains the shades.
func (l *layout) paceEntries() []entry {
	var out []entry
	for i, p := range l.scene.Paces {
		if len(p.Strokes) == 0 {
			continue
		}
		look := *l.paceLook(i)
		look.width = math.Max(math.Min(look.width, 0.3*l.em), 0.2*l.em)
		out = append(out, entry{bar(look), "drawn at " + p.words()})
	}
	return out
}

// bar returns a function that draws a sample of a line.
func bar(k look) func(paths.Point, float64) []node {
	return func(m paths.Point, half float64) []node {
		d := paths.Point{X: half}
		return []node{shape{[]paths.Stroke{paths.Polyline(m.Sub(d), m.Add(d))}, &k}}
	}
}

// broken draws a band along the lines that a note is about.
func (l *layout) broken() *group {
	g := &group{id: "broken", title: "the ways along which a limit is broken"}
	look := l.bandLook()
	for _, n := range l.scene.Notes {
		if len(n.Parts) > 0 {
			g.add(shape{n.Parts, &look})
		}
	}
	return g
}

// bandLook is a band wider than any line on it.
func (l *layout) bandLook() look {
	return look{stroke: band, width: l.widestInk() + 0.55*l.em, round: true}
}

// hasBands reports whether a note marks a line.
func (l *layout) hasBands() bool {
	for _, n := range l.scene.Notes {
		if len(n.Parts) > 0 {
			return true
		}
	}
	return false
}
