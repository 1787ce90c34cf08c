package plot

import (
	"cmp"
	"slices"

	"weftplot/paths"
	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
	"weftplot/paths/weave/cloth/search"
)

// Load is one laying of the cloth on the machine. Its job is in a frame of its own, whose
// channel 0 is Origin of the whole cloth.
type Load struct {
	N      int   // from 1
	Copies []int // the numbers of those drawn in it, in their order
	Origin weave.Place
	// At is where channel 0 of the whole cloth's drawing lies on the machine, in mm.
	At paths.Point
	// Ticks are those that are drawn in it, in mm on the whole cloth.
	Ticks []paths.Stroke
	// The fields from here to Foreseen are those of a rug in several loads. Window is what of
	// the cloth is drawn and looked at in this load, in mm on the cloth, and Box the part of
	// it that the rug fills. A load that NeedsMarks has no programs before its marks are
	// found. Points are to be found, in their order; the first Enough of them are likely to
	// make the joints sure, 0 where only all of them may. Meets is where its strokes meet
	// those drawn before. Expected is the error to expect there, in channels, and Foreseen
	// what it will be once all points are found; 0 is not known.
	Window, Box        paths.Rect
	NeedsMarks         bool
	Points             []Find
	Enough             int
	Meets              []cloth.Passage
	Expected, Foreseen float64
	Job

	corner map[int]weave.Place // of each copy
}

// PlaceOf returns where a place of the whole cloth lies on the machine in this load, in
// mm.
func (l Load) PlaceOf(p weave.Place) paths.Point {
	return l.Registration.Point(weave.Place{Across: p.Across - l.Origin.Across, Along: p.Along - l.Origin.Along})
}

// Lowest returns the number of the copy that lies lowest in the load, the one on the left
// of several.
func (l Load) Lowest() int {
	return slices.MinFunc(l.Copies, func(a, b int) int {
		p, q := l.corner[a], l.corner[b]
		return cmp.Or(cmp.Compare(p.Along, q.Along), cmp.Compare(p.Across, q.Across))
	})
}

// A loadPart is what a load knows of its kit, or of the rug that it is a part of.
type loadPart struct {
	number, of int
	rug        paths.Rect // the size of the first copy, or of the whole rug
	layers     []string   // of the whole rug, some of which may have nothing in this load; nil in a kit
	box        paths.Rect // that a part of a rug and its points lie in
	loose      []cloth.Loose
	over       []weave.Place // all over what it draws

	// Of a kit:
	order   []int // the copies, in the order of drawing
	titles  map[int]string
	copies  []int    // of each of Drawn
	ticks   []Stroke // that are drawn where the machine reaches them
	reached []int    // the numbers of those that it does
}

// isKit reports whether a load is one of a kit.
func (p *loadPart) isKit() bool { return p != nil && p.titles != nil }

// layers returns the names of all layers of the job.
func (j Joined) layers() []string {
	if j.part != nil && j.part.layers != nil {
		return j.part.layers
	}
	return layersOf(slices.Concat(j.Drawn, j.part.wantedTicks()))
}

// copyOf returns the copy that a stroke is of, by its number among the strokes placed.
func (p *loadPart) copyOf(stroke int) int {
	if stroke < len(p.copies) {
		return p.copies[stroke]
	}
	return 0
}

func (p *loadPart) wantedTicks() []Stroke {
	if p == nil {
		return nil
	}
	return p.ticks
}

// remark says in a program which copy comes.
func (p *loadPart) remark(n int) string {
	if n == 0 {
		return "ticks where the cloth is cut"
	}
	return "copy " + label.Clean(p.titles[n], label.Remark)
}

// groups returns the strokes of a pen one copy after the other, the border of each first,
// and the ticks last.
func (p *loadPart) groups(t Tour, first []string) (groups [][]Stroke, copies []int) {
	of := map[int][]Stroke{}
	for i, s := range t.Asked {
		of[t.Copies[i]] = append(of[t.Copies[i]], s)
	}
	for _, n := range append(slices.Clone(p.order), 0) {
		for _, group := range inTurn(of[n], first) {
			if len(group) > 0 {
				groups, copies = append(groups, group), append(copies, n)
			}
		}
	}
	return groups, copies
}

// addTicks adds those ticks of a load that the machine reaches.
func (r *Registered) addTicks() {
	p := r.part
	if p == nil {
		return
	}
	reach := r.Inputs.Machine.Reach()
	r.Drawn = slices.Clip(r.Drawn)
	for i, t := range p.ticks {
		placed := Stroke{r.OnMachine(t.Stroke), t.Layer}
		if by, _ := reach.Excess(placed.Bounds()); by == 0 {
			p.reached = append(p.reached, i)
			r.Drawn, r.Placed = append(r.Drawn, t), append(r.Placed, placed)
		}
	}
}

// over returns places all over what a part of a rug draws; none of a kit.
func (l Load) over() []weave.Place {
	if l.Box.IsEmpty() || l.Box.Width() == 0 {
		return nil
	}
	return search.Over(l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max))
}

// ToFind returns what is to be found on the cloth before the load is drawn, and how marks at
// it are fitted. Places are counted on the whole cloth. Copies on one cloth have no points
// that are listed: any counted crossings of channels do.
func (l Load) ToFind() (search.Load, cloth.FitOptions) {
	out := search.Load{At: l.PlaceOf, Meets: l.Meets, Over: l.over()}
	for _, f := range l.Points {
		out.Points = append(out.Points, search.Point{Name: label.Clean(f.Name, label.Line), Place: f.Place})
	}
	opt := l.FitOptions()
	opt.From.Across, opt.From.Along = opt.From.Across+l.Origin.Across, opt.From.Along+l.Origin.Along
	return out, opt
}
