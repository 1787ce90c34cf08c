package snap

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/snap/choice"
	"weftplot/paths/weave/snap/web"
)

// mirror finds the figures that are mirror images of each other, in a design that is its
// own. Without lines on the weave of an axis the design's middle is its mirror; it
// returns where that may go then: twice the channel.
func (p *plaiter) mirror() (middles [2][]int) {
	others := p.boundsOfOthers()
	if p.opt.KeepMiddle {
		others = p.bounds
	}
	of := map[int]int{}
	corners := []int{}
	for i, f := range p.figures {
		for _, v := range f.corners {
			of[v] = i
			corners = append(corners, v)
		}
	}
	for axis, m := range p.mirrors {
		a := weave.Axis(axis)
		pitch := p.grid.Pitch(a)
		switch {
		case m != nil:
			if p.pairUp(a, m.before, corners, of) {
				twice := int(math.Round(2 * m.after / pitch))
				p.twice[axis] = &twice
			}
		case len(p.straights[axis]) == 0:
			middle := p.before(axis)
			if !p.boxesMirror(a, middle) || !p.pairUp(a, middle, corners, of) {
				continue
			}
			at := 2 * middle / pitch
			low := int(math.Floor(at + 2*choice.MirrorSlack))
			for _, twice := range []int{low, low + 1} {
				if p.staysInRoom(others, a, (float64(twice)-at)/2*pitch) {
					middles[axis] = append(middles[axis], twice)
				}
			}
			if len(middles[axis]) == 0 {
				for _, f := range p.figures {
					f.image[axis] = -1
				}
			}
		}
	}
	return middles
}

// boundsOfOthers returns the bounds of all but the slanting lines, which have places of their
// own in the room.
func (p *plaiter) boundsOfOthers() paths.Rect {
	of := rowsBySide(p.rows)
	box := paths.EmptyRect()
	for i, k := range p.Strokes {
		for j, c := range k {
			if _, ok := of[p.Ends(i, j)]; !ok {
				box = box.Union(c.Bounds())
			}
		}
	}
	return box
}

// staysInRoom reports whether what is drawn inside the room, with the bounds given, is when
// moved across an axis.
func (p *plaiter) staysInRoom(box paths.Rect, axis weave.Axis, by float64) bool {
	room := p.opt.Room.span(axis)
	if room == nil || box.IsEmpty() {
		return true
	}
	pitch := p.grid.Pitch(axis)
	slack := 2 * choice.MirrorSlack * pitch
	lo, _ := axis.Split(box.Min)
	hi, _ := axis.Split(box.Max)
	return math.Abs(by) <= slack || lo+by >= float64(room.Lo)*pitch-web.Joint && hi+by <= float64(room.Hi)*pitch+web.Joint
}

// pairUp finds the image of every figure about a line of an axis, and reports whether
// each has one.
func (p *plaiter) pairUp(axis weave.Axis, middle float64, corners []int, of map[int]int) bool {
	cell := 4 * choice.MirrorSlack * p.grid.Pitch(axis)
	key := func(q paths.Point) [2]int { return [2]int{int(math.Floor(q.X / cell)), int(math.Floor(q.Y / cell))} }
	at := map[[2]int][]int{}
	for _, v := range corners {
		at[key(p.Vertices[v])] = append(at[key(p.Vertices[v])], v)
	}
	image := func(v int) int {
		fixed, along := axis.Split(p.Vertices[v])
		q := axis.Point(2*middle-fixed, along)
		c := key(q)
		nearest, off := -1, 2*choice.MirrorSlack*p.grid.Pitch(axis)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for _, w := range at[[2]int{c[0] + dx, c[1] + dy}] {
					if d := p.Vertices[w].Dist(q); d <= off {
						nearest, off = w, d
					}
				}
			}
		}
		return nearest
	}
	images := make([]int, len(p.figures))
	for i, f := range p.figures {
		images[i] = -1
		for _, v := range f.corners {
			w := image(v)
			if w < 0 || images[i] >= 0 && of[w] != images[i] {
				return false
			}
			images[i] = of[w]
		}
	}
	for i, f := range p.figures {
		f.image[axis] = images[i]
	}
	return true
}

// images returns a figure and its mirror images, itself first.
func (p *plaiter) images(f *figure) []*figure {
	out := []*figure{f}
	for i := 0; i < len(out); i++ {
		for axis := range p.twice {
			if n := out[i].image[axis]; n >= 0 && !slices.Contains(out, p.figures[n]) && p.figures[n].kind == f.kind {
				out = append(out, p.figures[n])
			}
		}
	}
	return out
}

// reflected returns where the image of a figure lies.
func (p *plaiter) reflected(f *figure, at [][2]int, image *figure, axis int) ([][2]int, bool) {
	a := weave.Axis(axis)
	middle := p.before(axis)
	out := make([][2]int, len(image.corners))
	for j, w := range image.corners {
		fixed, along := a.Split(p.Vertices[w])
		q := a.Point(2*middle-fixed, along)
		i := slices.IndexFunc(f.corners, func(v int) bool {
			return p.Vertices[v].Dist(q) <= 4*choice.MirrorSlack*p.grid.Pitch(a)
		})
		if i < 0 {
			return nil, false
		}
		out[j] = at[i]
		out[j][axis] = *p.twice[axis] - at[i][axis]
	}
	return out, true
}

// before returns the middle of the design as drawn, mm.
func (p *plaiter) before(axis int) float64 {
	if m := p.mirrors[axis]; m != nil {
		return m.before
	}
	middle, _ := weave.Axis(axis).Split(p.bounds.Centre())
	return middle
}
