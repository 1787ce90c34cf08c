package svg

import (
	"fmt"
	"regexp"
	"strconv"
	"sync"
	"unicode/utf8"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/paths/svg/css"
)

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// place makes the design: it turns the y axis up (nothing else does), puts the
// lower left corner of the page at the origin, and sorts the strokes into
// layers.
func (r *reader) place(pg page) paths.Design {
	d := paths.Design{Name: r.name, Page: paths.EmptyRect(), HasSize: pg.hasSize}
	turn := paths.Affine{A: 1, D: -1, F: pg.h}
	switch {
	case pg.w > 0 && pg.h > 0:
		d.Page = paths.RectOf(paths.Point{}, paths.Point{X: pg.w, Y: pg.h})
	case len(r.drawn) > 0:
		all := boxOfAll(r.drawn, func(s paths.Stroke) paths.Rect { return s.Bounds() })
		turn.E, turn.F = -all.Min.X, all.Max.Y
	}
	ink := boxOfAll(r.drawn, func(s paths.Stroke) paths.Rect {
		for i, c := range s {
			s[i] = turned(c, turn)
		}
		return s.Bounds()
	})
	if by, side := d.Page.Excess(ink); by > leastExcess && !d.Page.IsEmpty() {
		r.notes.add(r.root, "outside-page", "Lines go beyond the page, by up to %.4g mm on the %s; they are drawn all the same.", by, side)
	}
	d.Layers, d.Words = r.layers(), r.words(turn)
	d.Notes = r.notes.all(func(n *node) (paths.Point, bool) {
		at, ok := r.placeOf(n, pg)
		return turn.Apply(at), ok
	})
	return d
}

// boxOfAll returns the box of what is drawn, each stroke of which f gives its own; it
// calls f on all cores.
func boxOfAll(drawn []inked, f func(paths.Stroke) paths.Rect) paths.Rect {
	all := paths.EmptyRect()
	var mu sync.Mutex
	cores.Ranges(len(drawn), func(lo, hi int) {
		box := paths.EmptyRect()
		for _, s := range drawn[lo:hi] {
			box = box.Union(f(s.Stroke))
		}
		mu.Lock()
		defer mu.Unlock()
		all = all.Union(box)
	})
	return all
}

// leastExcess is how far in mm lines must go beyond the page to be noted: less is a
// rounding of the drawing program, and far below the width of a pen.
const leastExcess = 0.05

// turned returns the image of c under a map that keeps shapes.
func turned(c paths.Curve, m paths.Affine) paths.Curve {
	switch c := c.(type) {
	case paths.Line:
		return paths.Line{A: m.Apply(c.A), B: m.Apply(c.B)}
	case paths.Arc:
		return paths.Arc{From: m.Apply(c.From), To: m.Apply(c.To), Centre: m.Apply(c.Centre), Sweep: -c.Sweep}
	case paths.Cubic:
		return paths.Cubic{A: m.Apply(c.A), B: m.Apply(c.B), C: m.Apply(c.C), D: m.Apply(c.D)}
	}
	panic("svg: a curve of no known kind")
}

// unlayered is the layer of strokes that are in none of the file's layers.
const unlayered = "unlayered"

// layerNamer returns how strokes are sorted into layers: by the layers of
// drawing programs (groups that say groupmode="layer" or layer="yes", under
// whatever prefix) where the file has them, else by the named groups just below
// the root, else by colour, however written. Strokes with the same key are in
// one layer, which has the name of the first.
func (r *reader) layerNamer() func(s inked) (name, key string) {
	byLayer, byGroup := false, false
	for _, s := range r.drawn {
		byLayer = byLayer || s.layer != nil
		byGroup = byGroup || s.group != nil
	}
	for _, k := range r.kept {
		byLayer = byLayer || k.layer != nil
		byGroup = byGroup || k.group != nil
	}
	named, keys := map[*node]string{}, map[string]string{} // as found before
	return func(s inked) (name, key string) {
		of := s.layer
		switch {
		case byLayer:
		case byGroup:
			of = s.group
		default:
			return s.Colour, found(keys, s.Colour, css.Canonical)
		}
		name = found(named, of, groupName)
		return name, name
	}
}

// found returns f(k), which it works out only once.
func found[K comparable](before map[K]string, k K, f func(K) string) string {
	v, ok := before[k]
	if !ok {
		v = f(k)
		before[k] = v
	}
	return v
}

// layers sorts the strokes into layers, in the order of their first strokes.
func (r *reader) layers() []paths.Layer {
	namer := r.layerNamer()
	var list []paths.Layer
	index, of, sizes := map[string]int{}, make([]int, len(r.drawn)), []int(nil)
	for k, s := range r.drawn {
		name, key := namer(s)
		i, ok := index[key]
		if !ok {
			i = len(list)
			index[key] = i
			list, sizes = append(list, paths.Layer{Name: name}), append(sizes, 0)
		}
		of[k] = i
		sizes[i]++
	}
	for i, n := range sizes {
		list[i].Strokes = make([]paths.DesignStroke, 0, n)
	}
	for k, s := range r.drawn {
		list[of[k]].Strokes = append(list[of[k]].Strokes, s.DesignStroke)
	}
	return list
}

// groupName returns what a group is called as a layer: the name that a person gave
// it, else its id.
func groupName(n *node) string {
	if n == nil {
		return unlayered
	}
	if name := n.peopleName(); name != "" {
		return name
	}
	if id := n.attr("id"); id != "" {
		return unescaped(id)
	}
	return unlayered
}

// escaped is a character as it is written in a name where it may not stand: by its
// number between "_x" and "_" (ISO/IEC 9075-14, 9.1).
var escaped = regexp.MustCompile(`_x([0-9A-Fa-f]{2,6})_`)

// unescaped returns an id with its escaped characters put back.
func unescaped(id string) string {
	return escaped.ReplaceAllStringFunc(id, func(text string) string {
		n, err := strconv.ParseUint(text[2:len(text)-1], 16, 32)
		if err != nil || n < ' ' || n == 0x7f || n > utf8.MaxRune || !utf8.ValidRune(rune(n)) {
			return text
		}
		return string(rune(n))
	})
}
