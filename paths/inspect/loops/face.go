package loops

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// face is a region of pixels without ink that hang together.
type face struct {
	pixels    []int32
	extent    pixels
	isOutside bool // the cloth round the drawing
}

// faces calls f with every face of the picture, as long as places may be looked at. The
// face is f's only until it returns.
func (p *picture) faces(f func(face)) {
	var list []int32
	for i := range p.ink {
		if p.looks < 0 {
			return
		}
		if p.ink[i] || p.seen[i] {
			continue
		}
		var extent pixels
		list, extent = p.flood(list[:0], i, func(k int) bool { return !p.ink[k] })
		f(face{list, extent, extent.x0 == 0})
	}
}

// flood adds to list the pixels that are reached from one without leaving those that
// are meant, and marks them as seen.
func (p *picture) flood(list []int32, from int, meant func(i int) bool) ([]int32, pixels) {
	extent := noPixels()
	visit := func(x, y int) {
		if x < 0 || y < 0 || x >= p.w || y >= p.h {
			return
		}
		if i := y*p.w + x; !p.seen[i] && meant(i) {
			p.seen[i] = true
			list = append(list, int32(i))
			extent.include(x, y)
		}
	}
	visit(from%p.w, from/p.w)
	for n := 0; n < len(list); n++ {
		x, y := int(list[n])%p.w, int(list[n])/p.w
		visit(x+1, y)
		visit(x-1, y)
		visit(x, y+1)
		visit(x, y-1)
	}
	return list, extent
}

// widest returns the radius of the largest circle in a face, in rows, and its middle;
// a radius over 1.2 may be too small, as it makes no difference.
func (p *picture) widest(f face) (radius float64, at paths.Point) {
	best := f.pixels[0]
	for _, i := range f.pixels {
		if p.away.Squares[i] > p.away.Squares[best] {
			best = i
		}
	}
	at = p.middle(int(best)%p.w, int(best)/p.w)
	if r := p.away.At(int(best)) / p.res; r > 1.2 {
		return r, at
	}
	// Pixels are coarse: climb from each of the widest ones.
	least := p.away.At(int(best)) - 1.5
	tried := 0
	for _, i := range f.pixels {
		if p.away.At(int(i)) < least {
			continue
		}
		if r, c := p.climb(p.middle(int(i)%p.w, int(i)/p.w)); r > radius {
			radius, at = r, c
		}
		if tried++; radius >= 1 || tried == maxClimbs {
			break
		}
	}
	return radius, at
}

// maxClimbs bounds how many places of a face are tried.
const maxClimbs = 400

// climb walks to a place from which the nearest line is farthest, by steps of half a
// pixel that are halved where none leads farther.
func (p *picture) climb(at paths.Point) (radius float64, middle paths.Point) {
	radius = p.toLine(at)
	ways := [8]paths.Point{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}, {X: 1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}, {X: -1, Y: 1}}
	start := at
	for step := 0.5 / p.res; step > 1e-3; {
		better := false
		for _, w := range ways {
			c := at.Add(w.Mul(step))
			if c.Dist(start) > 2/p.res { // stay in the face
				continue
			}
			if r := p.toLine(c); r > radius {
				radius, at, better = r, c, true
				break
			}
		}
		if !better {
			step /= 2
		}
	}
	return radius, at
}

// pocketPixels is the radius under which a face may be no more than a corner of
// another one, cut off by the width of the ink, and lookout how far away, in pixels,
// that one may begin.
const (
	pocketPixels = 3
	lookout      = 5
)

// isPocket reports whether a small face is a corner of a wider one: no line lies
// between a pixel of it and one of the other.
func (p *picture) isPocket(f face) bool {
	own := map[int32]bool{}
	widest := uint16(0)
	for _, i := range f.pixels {
		own[i] = true
		widest = max(widest, p.away.Squares[i])
	}
	for _, i := range f.pixels {
		x, y := int(i)%p.w, int(i)/p.w
		for oy := max(0, y-lookout); oy <= min(p.h-1, y+lookout); oy++ {
			for ox := max(0, x-lookout); ox <= min(p.w-1, x+lookout); ox++ {
				k := int32(oy*p.w + ox)
				wider := p.away.Squares[k] > widest || p.away.Squares[k] == widest && k < i
				if !p.ink[k] && !own[k] && wider && p.isClear(p.middle(x, y), p.middle(ox, oy)) {
					return true
				}
			}
		}
	}
	return false
}

// isClear reports whether no line crosses the one from a to b.
func (p *picture) isClear(a, b paths.Point) bool {
	clear := true
	p.cells.Along(a, b, 0, func(items []int32) {
		for _, i := range items {
			s := p.segs[i]
			d, u := b.Sub(a), s.B.Sub(s.A)
			left := func(o, d, q paths.Point) bool { return d.Cross(q.Sub(o)) > 0 }
			if left(a, d, s.A) != left(a, d, s.B) && left(s.A, u, a) != left(s.A, u, b) {
				clear = false
			}
		}
	})
	return clear
}

// narrowParts returns the parts of a face that a circle two rows wide does not reach.
func (p *picture) narrowParts(f face) []Found {
	box := f.extent
	w, h := box.x1-box.x0+1, box.y1-box.y0+1
	if p.budget -= w * h; p.budget < 0 {
		return nil
	}
	at := func(i int32) (x, y int) { return int(i)%p.w - box.x0, int(i)/p.w - box.y0 }
	// Where such a circle may have its middle, and how far all else is from there. A
	// pixel is half of one wide each way, in the circle and in the ink.
	away := skeleton.NewPlane(w+2, h+2)
	for i := range away.Pixels {
		away.Pixels[i] = 1
	}
	for _, i := range f.pixels {
		if p.away.At(int(i)) >= p.res-1 {
			x, y := at(i)
			away.Pixels[(y+1)*away.W+x+1] = 0
		}
	}
	far := skeleton.DistancesWithin(framed(away), farthest)
	left := map[int32]bool{}
	for _, i := range f.pixels {
		x, y := at(i)
		if far.At((y+1+frame)*(away.W+2*frame)+x+1+frame) > p.res+1 {
			left[i] = true
			p.seen[i] = false
		}
	}
	var out []Found
	for _, i := range f.pixels {
		if !left[i] || p.seen[i] {
			continue
		}
		part, extent := p.flood(nil, int(i), func(k int) bool { return left[int32(k)] })
		long := math.Max(float64(extent.x1-extent.x0+1), float64(extent.y1-extent.y0+1)) / p.res
		if long < longPart {
			continue
		}
		middle, rows := p.middleOf(part, extent)
		out = append(out, p.found(Narrow, extent, middle, rows, false))
	}
	return out
}

// frame is what a picture is widened by so that its edge, which counts as bare, is out
// of reach.
const frame = 2 * finest

// framed returns the picture with a frame of ones.
func framed(in skeleton.Plane) skeleton.Plane {
	out := skeleton.NewPlane(in.W+2*frame, in.H+2*frame)
	for i := range out.Pixels {
		out.Pixels[i] = 1
	}
	for y := range in.H {
		copy(out.Pixels[(y+frame)*out.W+frame:], in.Pixels[y*in.W:][:in.W])
	}
	return out
}

// middleOf returns the place of a part that is nearest to the middle of it, and how
// wide the part is at its widest; both in rows.
func (p *picture) middleOf(part []int32, extent pixels) (at paths.Point, rows float64) {
	centre := p.middle(extent.x0, extent.y0).Lerp(p.middle(extent.x1, extent.y1), 0.5)
	best := math.Inf(1)
	for _, i := range part {
		m := p.middle(int(i)%p.w, int(i)/p.w)
		if d := m.Dist(centre); d < best {
			best, at = d, m
		}
		rows = max(rows, 2*p.toLine(m))
	}
	return at, min(rows, 2)
}
