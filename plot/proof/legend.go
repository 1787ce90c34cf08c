package proof

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/plot/proof/typeface"
)

// entry is a line of the legend: a sample, drawn around a given point, and what
// it means.
type entry struct {
	sample func(mid paths.Point, half float64) []node
	words  string
}

// legend sets the entries in as many columns as fit.
func (l *layout) legend(width float64) *group {
	g := &group{id: "legend"}
	entries := l.entries()
	size := labelSize * l.em
	const sample, gap = 3.0, 0.7 // em
	indent := (sample + gap) * l.em
	widest := 0.0
	for _, e := range entries {
		widest = math.Max(widest, typeface.Width(e.words, size, false))
	}
	// A long entry is broken into lines instead of taking all the width.
	column := math.Min(indent+math.Min(widest, 16.4*l.em)+1.6*l.em, width)
	columns := max(1, int(width/column))
	rows := (len(entries) + columns - 1) / columns
	top, bottom := l.y, l.y
	for c := range columns {
		y := top
		x := pagePad*l.em + float64(c)*column
		for _, e := range entries[min(c*rows, len(entries)):min((c+1)*rows, len(entries))] {
			lines := typeface.Wrap(e.words, size, false, (column-indent-1.0*l.em)/typeface.Spare, 4)
			mid := paths.Point{X: x + sample*l.em/2, Y: y + 0.75*l.em}
			g.add(e.sample(mid, sample*l.em/2)...)
			for i, s := range lines {
				base := mid.Y + (typeface.Ascent-typeface.Descent)/2*size + float64(i)*leading*size
				g.add(words{at: paths.Point{X: x + indent, Y: base}, text: s, size: size, colour: darkText})
			}
			y += 1.5*l.em + float64(max(0, len(lines)-1))*leading*size
		}
		bottom = math.Max(bottom, y)
	}
	l.y = bottom
	return g
}

// entries lists what is in the picture.
func (l *layout) entries() []entry {
	s := l.scene
	out := append(l.paceEntries(), l.penEntries()...)
	if l.numbered {
		out = append(out, entry{l.numberSample, l.numberWords()})
	}
	if l.hasBands() {
		look := l.bandLook()
		look.width = math.Min(look.width, 0.7*l.em)
		out = append(out, entry{bar(look), "a limit is broken here: see the numbers below"})
	}
	if len(s.Ink) > 0 && !s.NoDirection {
		out = append(out, entry{l.arrowSample, "arrowheads: the way the pen goes"})
	}
	if len(s.Travel) > 0 {
		out = append(out, entry{bar(travelLook(l.em)), "pen up: the way to the next line"})
	}
	out = append(out, l.placeEntries()...)
	if s.Start != nil {
		out = append(out, entry{l.startSample, "start: the pen is first set down"})
	}
	if s.End != nil {
		out = append(out, entry{l.endSample, "end: the pen is last lifted"})
	}
	out = append(out, l.regionEntries()...)
	for _, e := range slices.Backward(l.outlines()) {
		if len(e.stroke) > 0 {
			e.look.width = math.Min(e.look.width, 4*edgeWidth*l.em)
			out = append(out, entry{bar(e.look), e.label})
		}
	}
	if len(s.Weave) > 0 {
		out = append(out, entry{l.weaveSample, l.weaveWords()})
	}
	if len(s.Marks) > 0 {
		w := fmt.Sprintf("mark found on the cloth; the arrow is how far it is off, %g times as long", l.magnified())
		out = append(out, entry{l.markSample, w})
	}
	return out
}

// penEntries has an entry for each pen, with the layers it draws.
func (l *layout) penEntries() []entry {
	forms := l.penForms()
	first := make([]Ink, len(forms))
	layers := make([][]string, len(forms))
	for _, k := range slices.Backward(l.scene.Ink) {
		first[forms[penOf(k)]] = k
	}
	for _, k := range l.scene.Ink {
		i := forms[penOf(k)]
		if name := typeface.Clean(k.Layer); name != "" && !slices.Contains(layers[i], name) {
			layers[i] = append(layers[i], name)
		}
	}
	out := make([]entry, len(forms))
	for i, k := range first {
		name := penOf(k).name
		if name == "" {
			name = "pen down"
		}
		if k.Width > 0 {
			name += ", " + num(k.Width) + " mm"
		}
		if len(layers[i]) > 0 {
			name += ": " + strings.Join(layers[i], ", ")
		}
		out[i] = entry{func(m paths.Point, half float64) []node {
			d := paths.Point{X: half}
			look := *l.inkLook(k)
			look.width = math.Min(look.width, 0.3*l.em)
			bar := shape{[]paths.Stroke{paths.Polyline(m.Sub(d), m.Add(d))}, &look}
			if l.scene.NoDirection {
				return []node{bar}
			}
			head := arrowhead(m, paths.Point{X: 1}, math.Max(arrowLength*l.em, 3.2*look.width), i, k.Colour, look.width)
			if len(l.scene.Paces) > 0 {
				return head
			}
			return append([]node{bar}, head...)
		}, name}
	}
	return out
}

func (l *layout) arrowSample(m paths.Point, half float64) []node {
	var out []node
	for i := range min(3, len(l.penForms())) {
		d := paths.Point{X: half * (0.7*float64(i) - 0.35*float64(min(3, len(l.penForms()))-1))}
		out = append(out, arrowhead(m.Add(d), paths.Point{X: 1}, arrowLength*l.em, i, quietText, inkLeast*l.em)...)
	}
	return out
}

func (l *layout) startSample(m paths.Point, _ float64) []node {
	return []node{shape{[]paths.Stroke{{paths.Circle(m, markerSize*l.em)}}, &look{fill: bluishGreen}}}
}

func (l *layout) endSample(m paths.Point, _ float64) []node {
	square := Outline(paths.RectOf(m).Grow(1.1 * markerSize * l.em))
	return []node{shape{[]paths.Stroke{square}, &look{stroke: vermillion, width: 0.16 * l.em, round: true}}}
}

func (l *layout) weaveSample(m paths.Point, half float64) []node {
	var light, tenth []paths.Stroke
	for i := -5; i <= 5; i++ {
		x := m.X + float64(i)*half/5.5
		bar := paths.Polyline(paths.Point{X: x, Y: m.Y - 0.5*l.em}, paths.Point{X: x, Y: m.Y + 0.5*l.em})
		if i == -5 || i == 5 {
			tenth = append(tenth, bar)
		} else {
			light = append(light, bar)
		}
	}
	return []node{
		shape{light, &look{stroke: weaveLight, width: 0.045 * l.em}},
		shape{tenth, &look{stroke: weaveTenth, width: 0.09 * l.em}},
	}
}

func (l *layout) weaveWords() string {
	const numbered = "numbered from the lower left corner of the rug as drawn"
	switch name := ordinal(l.every); {
	case l.every <= 1:
		return "channels of the weave, every tenth stronger, " + numbered
	case l.every < 10:
		return "channels of the weave: every " + name + " is shown, every tenth stronger, " + numbered
	default:
		return "channels of the weave: every " + name + " is shown, " + numbered
	}
}

// ordinal returns the word for a step of channels.
func ordinal(n int) string {
	switch n {
	case 2:
		return "second"
	case 5:
		return "fifth"
	case 10:
		return "tenth"
	default:
		return fmt.Sprintf("%dth", n)
	}
}

func (l *layout) markSample(m paths.Point, half float64) []node {
	one := Scene{Marks: []Mark{{At: paths.Point{X: m.X - half/2, Y: m.Y}, Off: paths.Point{X: 1.8 * l.em}}}}
	sub := layout{scene: one, em: l.em}
	return []node{sub.marks()}
}
