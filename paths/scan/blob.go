package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// blobReach returns how far in pixels the ink must reach about a place for it
// to be part of an area: two and a half times as far as in a line, plus what
// the blur has widened it by.
func blobReach(width float64) float64 { return 2.5*width/2 + 0.3*width + 1 }

// blobs are the areas of a page that are too wide for lines: a mask, or nothing
// where there are none.
type blobs struct{ skeleton.Plane }

// blobsIn removes from a mask, and returns, what is too wide for lines: the
// pixels covered by a disc of that size that stays in the ink, and the corners
// of areas, which the disc does not reach.
func blobsIn(mask skeleton.Plane, d skeleton.Distances, width float64) blobs {
	r := blobReach(width)
	b := blobs{skeleton.NewPlane(mask.W, mask.H)}
	if !b.openings(d, r) {
		return blobs{}
	}
	b.corners(mask, r)
	for i, v := range b.Pixels {
		if v != 0 {
			b.Pixels[i], mask.Pixels[i] = 1, 0
		}
	}
	return b
}

// openings marks the pixels covered by a disc of radius r that stays in the
// ink, and reports whether there are any. Where the disc can be centred the
// mark is 1, elsewhere 2.
func (b blobs) openings(d skeleton.Distances, r float64) bool {
	var core []int
	for i, d2 := range d.Squares {
		if float64(d2) > (r+0.5)*(r+0.5) {
			core = append(core, i)
			b.Pixels[i] = 1
		}
	}
	for _, i := range core {
		if b.isRim(i) {
			b.stamp(i, r)
		}
	}
	return len(core) > 0
}

// isRim reports whether a marked pixel lies at the edge of the picture, or next
// to a pixel where the disc does not fit.
func (b blobs) isRim(i int) bool {
	if x := i % b.W; x == 0 || x == b.W-1 || i < b.W || i >= len(b.Pixels)-b.W {
		return true
	}
	return b.Pixels[i-1]&b.Pixels[i+1]&b.Pixels[i-b.W]&b.Pixels[i+b.W]&1 == 0
}

// corners marks ink left beside the areas that is too short to be a line: the
// corners that the disc does not reach.
func (b blobs) corners(mask skeleton.Plane, r float64) {
	rest := skeleton.NewPlane(mask.W, mask.H)
	for i, v := range mask.Pixels {
		if v != 0 && b.Pixels[i] == 0 {
			rest.Pixels[i] = 1
		}
	}
	spans, list := skeleton.Components(rest, rest, skeleton.Inked, true)
	for _, s := range spans {
		if p := list[s.Component]; float64(p.Size()) < 1.6*r && b.touches(p) {
			b.Paint(s, 1)
		}
	}
}

// stamp marks a disc about pixel i with 2 where nothing is marked.
func (b blobs) stamp(i int, r float64) {
	x, y, n := i%b.W, i/b.W, int(r+0.5)
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			px, py := x+dx, y+dy
			if float64(dx*dx+dy*dy) <= (r+0.5)*(r+0.5) && px >= 0 && px < b.W && py >= 0 && py < b.H && b.Pixels[py*b.W+px] == 0 {
				b.Pixels[py*b.W+px] = 2
			}
		}
	}
}

// touches reports whether an area lies in the box of a component, or next to
// it.
func (b blobs) touches(p skeleton.Component) bool {
	for y := max(0, int(p.Y0)-1); y < min(b.H, int(p.Y1)+1); y++ {
		for x := max(0, int(p.X0)-1); x < min(b.W, int(p.X1)+1); x++ {
			if b.Pixels[y*b.W+x] != 0 {
				return true
			}
		}
	}
	return false
}

func (b blobs) has(x, y int) bool {
	return x >= 0 && y >= 0 && x < b.W && y < b.H && b.Pixels[y*b.W+x] != 0
}

// entered returns where a ray first enters an area, if within a distance of
// most, in pixels.
func (b blobs) entered(r ray, most float64) (paths.Point, bool) {
	if len(b.Pixels) == 0 {
		return paths.Point{}, false
	}
	for s := 0.0; s < most; s += 0.25 {
		p := r.at.Add(r.dir.Mul(s))
		if b.has(int(math.Round(p.X)), int(math.Round(p.Y))) {
			return p, true
		}
	}
	return paths.Point{}, false
}

// outlines returns the edges of the areas, outer and inner, as closed lines:
// along the sides of pixels, smoothed, and then moved to where the ink is half
// as dark as inside.
func (b blobs) outlines(k ink) [][]paths.Point {
	var out [][]paths.Point
	seen := make(map[int]bool)
	for i, v := range b.Pixels {
		if v == 0 || seen[i] || b.has(i%b.W, i/b.W-1) {
			continue
		}
		pts := b.follow(i, seen)
		if float64(len(pts)) < 4*k.width {
			continue // a pinhole
		}
		out = append(out, k.toEdge(evenRing(resampleRing(pts), 1.2)))
	}
	return out
}

// follow goes round an area along the sides of its pixels, keeping the area on
// the right, from the upper side of pixel i. It marks the pixels whose upper
// sides it passes.
func (b blobs) follow(i int, seen map[int]bool) []paths.Point {
	dx, dy := 1, 0
	x, y := i%b.W, i/b.W // (x, y) here is the upper left corner of pixel (x, y)
	var pts []paths.Point
	for {
		if dx == 1 {
			at := y*b.W + x
			if seen[at] {
				return pts
			}
			seen[at] = true
		}
		x, y = x+dx, y+dy
		pts = append(pts, paths.Point{X: float64(x) - 0.5, Y: float64(y) - 0.5})
		// The pixels ahead on the left and on the right.
		lx, ly := x+(dx+dy-1)/2, y+(dy-dx-1)/2
		rx, ry := x+(dx-dy-1)/2, y+(dy+dx-1)/2
		switch {
		case b.has(lx, ly):
			dx, dy = dy, -dx
		case !b.has(rx, ry):
			dx, dy = -dy, dx
		}
	}
}

// toEdge moves the points of an outline, which has the ink on its right as seen
// in the picture, to where the ink is half as dark as inside. A point stays
// where that is not near, such as where a line leaves the area.
func (k ink) toEdge(pts []paths.Point) []paths.Point {
	out := make([]paths.Point, len(pts))
	n := len(pts)
	for i, p := range pts {
		out[i] = p
		d := pts[(i+2)%n].Sub(pts[(i+n-2)%n]).Unit()
		in := d.Left() // with y down, Left turns to the right as seen
		half := k.dark(p.Add(in.Mul(4))) / 2
		const reach, part = 3.0, 0.25
		before := k.dark(p.Add(in.Mul(reach)))
		for s := reach - part; s >= -reach; s -= part {
			here := k.dark(p.Add(in.Mul(s)))
			if here < half && before >= half {
				out[i] = p.Add(in.Mul(s + part*(half-here)/(before-here)))
				break
			}
			before = here
		}
	}
	return evenRing(out, 1)
}
