package proof

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// drawing returns the group that holds the scene itself, in its own
// coordinates.
func (l *layout) drawing() *group {
	g := &group{id: "drawing", at: &l.toPage, clip: &l.view}
	ink := l.ink
	if len(l.scene.Paces) > 0 {
		ink = l.paces
	}
	g.add(l.ground(), l.weave(), l.edges(), l.regions(), l.broken(), l.travel(), ink(), l.arrows(), l.marks(), l.places(), l.ends())
	return g
}

// ground tints the backing and the rug.
func (l *layout) ground() *group {
	g := &group{id: "ground"}
	if s := l.scene.Backing; len(s) > 0 {
		g.add(shape{[]paths.Stroke{s}, &look{fill: cloth}})
	}
	if s := l.scene.Rug; len(s) > 0 {
		g.add(shape{[]paths.Stroke{s}, &look{fill: rugGround}})
	}
	if s := l.scene.Rugs; len(s) > 0 {
		g.add(shape{outlinesOf(s), &look{fill: rugGround}})
	}
	return g
}

// weave draws the channels, every tenth stronger. Where they would merge, only
// every second, fifth or tenth is shown.
func (l *layout) weave() *group {
	g := &group{id: "weave", title: "channels of the weave"}
	pitch := l.pitch()
	l.every = 1
	for _, step := range []int{2, 5, 10, 20, 50, 100} {
		if pitch*float64(l.every) < 0.14*l.em {
			l.every = step
		}
	}
	light := look{stroke: weaveLight, width: math.Min(0.03*l.em, pitch*float64(l.every)/8)}
	tenth := look{stroke: weaveTenth, width: math.Min(0.055*l.em, pitch*float64(l.every)/4)}
	var lights, tenths []paths.Stroke
	for _, w := range l.scene.Weave {
		line := paths.Polyline(w.Points...)
		switch {
		case len(line) == 0:
		case w.Channel%10 == 0 && (l.every <= 10 || w.Channel%l.every == 0):
			tenths = append(tenths, line)
		case w.Channel%l.every == 0:
			lights = append(lights, line)
		}
	}
	if len(lights) > 0 {
		g.add(shape{lights, &light})
	}
	if len(tenths) > 0 {
		g.add(shape{tenths, &tenth})
	}
	return g
}

// pitch returns the least distance between neighbouring channels at their
// beginnings, in mm; 1 where there are none.
func (l *layout) pitch() float64 {
	least := math.Inf(1)
	last := map[bool]WeaveLine{}
	for _, w := range l.scene.Weave {
		if len(w.Points) == 0 {
			continue
		}
		if p, ok := last[w.Along]; ok && p.Channel != w.Channel {
			gap := p.Points[0].Dist(w.Points[0]) / math.Abs(float64(w.Channel-p.Channel))
			least = math.Min(least, gap)
		}
		last[w.Along] = w
	}
	if math.IsInf(least, 1) || least == 0 {
		return 1
	}
	return least
}

// edges draws the outlines, each in its own line style.
func (l *layout) edges() *group {
	g := &group{id: "edges"}
	for _, e := range l.outlines() {
		if len(e.stroke) > 0 {
			g.add(&group{class: e.class, title: e.label, nodes: []node{shape{[]paths.Stroke{e.stroke}, &e.look}}})
		}
	}
	return g
}

// edge is an outline and how it is shown.
type edge struct {
	class, label string
	colour       string // of the label
	stroke       paths.Stroke
	look         look
}

func (l *layout) outlines() []edge {
	return []edge{
		{"machine", "reach of the pen", reachEdge, l.scene.Machine, machineLook(l.em)},
		{"backing", "edge of the backing", clothEdge, l.scene.Backing, backingLook(l.em)},
		{"rug", "edge of the rug", rugName, l.scene.Rug, rugLook(l.em, l.widestInk())},
	}
}

// widestInk returns the greatest width a line is shown with.
func (l *layout) widestInk() float64 {
	if l.widest == 0 {
		for _, k := range l.scene.Ink {
			l.widest = math.Max(l.widest, l.inkWidth(k))
		}
	}
	return l.widest
}

func (l *layout) travel() *group {
	g := &group{id: "travel", title: "the lifted pen"}
	var ways []paths.Stroke
	for _, t := range l.scene.Travel {
		if t.A != t.B {
			ways = append(ways, paths.Stroke{t})
		}
	}
	if len(ways) > 0 {
		look := travelLook(l.em)
		g.add(shape{ways, &look})
	}
	return g
}

// ink draws the strokes, each as a separate path, grouped by layer and pen in
// order of first use.
func (l *layout) ink() *group {
	g := &group{id: "ink"}
	type key struct {
		layer, pen, colour string
		width              float64
	}
	of := map[key]*separate{}
	for _, k := range l.scene.Ink {
		if len(k.Stroke) == 0 {
			continue
		}
		id := key{k.Layer, k.Pen, k.Colour, k.Width}
		sub := of[id]
		if sub == nil {
			sub = &separate{}
			of[id] = sub
			g.add(&group{
				id: fmt.Sprintf("ink-%d", len(of)), class: "ink",
				title: inkTitle(k), look: l.inkLook(k), nodes: []node{sub},
			})
		}
		sub.strokes = append(sub.strokes, k.Stroke)
	}
	return g
}

func inkTitle(k Ink) string {
	switch layer, pen := typeface.Clean(k.Layer), typeface.Clean(k.Pen); {
	case layer == "":
		return pen
	case pen == "":
		return layer
	default:
		return layer + ": " + pen
	}
}

func (l *layout) inkLook(k Ink) *look {
	return &look{stroke: k.Colour, width: l.inkWidth(k), round: true}
}

// inkWidth returns the width in mm that a line is shown with.
func (l *layout) inkWidth(k Ink) float64 {
	least := inkLeast * l.em
	if l.scene.Picture != nil {
		least *= inkOnPicture // what lies under a line must show on both sides of it
	}
	return math.Max(k.Width, least)
}

// ends marks where the pen is first set down, with a disc, and last lifted,
// with an open square, so that both can be seen in one place.
func (l *layout) ends() *group {
	g := &group{id: "ends"}
	r := markerSize * l.em
	if p := l.scene.End; p != nil {
		d := paths.Point{X: 1.25 * r, Y: 1.25 * r}
		square := Outline(paths.Rect{Min: p.Sub(d), Max: p.Add(d)})
		g.add(&group{class: "end", title: "end", nodes: []node{
			shape{[]paths.Stroke{square}, &look{stroke: paper, width: 0.34 * l.em, round: true}},
			shape{[]paths.Stroke{square}, &look{stroke: vermillion, width: 0.16 * l.em, round: true}}}})
	}
	if p := l.scene.Start; p != nil {
		g.add(&group{class: "start", title: "start", nodes: []node{
			shape{[]paths.Stroke{{paths.Circle(*p, r)}}, &look{fill: bluishGreen, stroke: paper, width: 0.1 * l.em}}}})
	}
	return g
}
