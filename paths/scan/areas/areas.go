// Package areas tells the areas of a page that ink closes on the paper and that the
// lines found leave open, with the place where a way leads out of each.
//
// Ink and lines are compared in a plan of small cells, so that neither noise nor the
// width of the ink matters. Places are in pixels, y down, as in package skeleton. Time
// is about linear in the pixels, and no more than a round of the plan for each open
// area.
package areas

import (
	"iter"
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

const (
	// planWidths is the side of a cell in widths of the line; a cell is never less
	// than a pixel.
	planWidths = 1. / 3
	// ShutWidths is how wide a gap in ink is, in widths of the line, that still closes
	// an area: paper's tooth leaves as much out. SkipWidths is that where the pencil
	// skipped often.
	ShutWidths = 1.
	SkipWidths = 1.7
)

// Plan is the ink of a page in cells, with room round it.
type Plan struct {
	side  int // of a cell, pixels
	round int // how many cells of room lie at each side
	skeleton.Plane
	width, roomy float64
}

// PlanOf returns the plan of a mask for lines of a width. A cell is inked where any of
// its pixels is. Only areas count that a circle of radius roomy fits into, between
// their ink. Both are in pixels.
func PlanOf(mask skeleton.Plane, width, roomy float64) Plan {
	side := max(1, int(planWidths*width))
	round := int((SkipWidths*width+roomy)/float64(side)) + 3
	p := Plan{side, round, skeleton.NewPlane((mask.W-1)/side+1+2*round, (mask.H-1)/side+1+2*round), width, roomy}
	for y := range mask.H {
		row := p.Pixels[(y/side+round)*p.W+round:]
		for x, v := range mask.Pixels[y*mask.W:][:mask.W] {
			if v != 0 {
				row[x/side] = 1
			}
		}
	}
	return p
}

// Ink adds a small piece of ink to the plan, such as a grain of a faint line.
func (p Plan) Ink(c skeleton.Component) {
	for y := int(c.Y0) / p.side; y <= int(c.Y1-1)/p.side; y++ {
		for x := int(c.X0) / p.side; x <= int(c.X1-1)/p.side; x++ {
			p.Pixels[(y+p.round)*p.W+p.round+x] = 1
		}
	}
}

// areas are the areas of a plan: ink parts them on the paper, and lines in the result.
type areas struct {
	Plan
	// paper numbers the areas that ink parts, drawn those that lines part; 0 is
	// what parts them.
	paper, drawn []int32
	// roomy are the cells that lie well away from ink.
	roomy []bool
}

// areasOf compares the areas that the ink of a plan parts with those that strokes, in
// pixels, do.
func areasOf(p Plan, strokes []paths.Stroke, shut, roomy float64) areas {
	free := skeleton.NewPlane(p.W, p.H)
	for i, v := range p.Pixels {
		free.Pixels[i] = 1 - v
	}
	away := skeleton.DistancesIn(free)
	a := areas{Plan: p, roomy: make([]bool, len(p.Pixels))}
	for i, square := range away.Squares {
		free.Pixels[i] = 0
		if float64(square) > shut*shut {
			free.Pixels[i] = 1
		}
		a.roomy[i] = float64(square) > roomy*roomy
	}
	a.paper = free.Areas()
	for i := range free.Pixels {
		free.Pixels[i] = 1
	}
	for _, s := range strokes {
		p.wall(free, s)
	}
	a.drawn = free.Areas()
	return a
}

// wall clears the cells that a stroke passes through, so that no way by the sides of
// cells leads across it.
func (p Plan) wall(free skeleton.Plane, s paths.Stroke) {
	lastX, lastY := -1, -1
	for q := range along(s.Flatten(0.2), 0.25*float64(p.side)) {
		x, y := int(math.Floor((q.X+0.5)/float64(p.side)))+p.round, int(math.Floor((q.Y+0.5)/float64(p.side)))+p.round
		if x < 0 || y < 0 || x >= p.W || y >= p.H {
			lastX = -1
			continue
		}
		free.Pixels[y*p.W+x] = 0
		if lastX >= 0 && x != lastX && y != lastY {
			free.Pixels[y*p.W+lastX] = 0
		}
		lastX, lastY = x, y
	}
}

// Open is an area that ink closes and the lines leave open.
type Open struct {
	// At is where the way out of it leads through ink.
	At paths.Point
	// Round is about the length of the ink round it. The longer, the more it matters.
	Round float64
}

// Open returns the areas that ink closes and strokes leave open, at most one for each
// two widths of the line. gap is how wide a gap in ink is, in pixels, that still closes
// an area.
func (p Plan) Open(strokes []paths.Stroke, gap float64) []Open {
	side := float64(p.side)
	shut := gap / 2 / side
	a := areasOf(p, strokes, shut, max(shut, p.roomy/side))
	size, home := a.homes()
	shared := make(map[int32]int)
	for _, room := range home {
		shared[room]++
	}
	var out []Open
	outside := a.paper[0]
	for i := 0; outside == 0 && i < len(a.paper); i++ {
		outside = a.paper[i]
	}
	for area := range int32(len(size)) {
		room, counts := home[area]
		if !counts || area == outside || shared[room] < 2 {
			continue
		}
		at, ok := a.wayOut(area, room)
		if ok && !anyWithin(out, at, 2*p.width) {
			out = append(out, Open{at, 2 * math.Sqrt(math.Pi*float64(size[area])) * side})
		}
	}
	return out
}

func anyWithin(list []Open, p paths.Point, d float64) bool {
	for _, o := range list {
		if o.At.Dist(p) < d {
			return true
		}
	}
	return false
}

// homes returns the sizes of the areas on paper, in cells, and for those with roomy
// cells the area of the result in which most of these lie.
func (a areas) homes() (size []int, home map[int32]int32) {
	votes := map[[2]int32]int{}
	for i, area := range a.paper {
		if area == 0 {
			continue
		}
		for int(area) >= len(size) {
			size = append(size, 0)
		}
		size[area]++
		if a.roomy[i] && a.drawn[i] != 0 {
			votes[[2]int32{area, a.drawn[i]}]++
		}
	}
	home = map[int32]int32{}
	best := map[int32]int{}
	for v, n := range votes {
		if n > best[v[0]] || n == best[v[0]] && v[1] < home[v[0]] {
			home[v[0]], best[v[0]] = v[1], n
		}
	}
	return size, home
}

// wayOut returns where the shortest way from the roomy cells of an area into those of
// another, across no line, leads through ink: the middle of that, in pixels.
func (a areas) wayOut(area, room int32) (at paths.Point, ok bool) {
	from := map[int32]int32{}
	var queue []int32
	for i, v := range a.paper {
		if v == area && a.roomy[i] && a.drawn[i] == room {
			from[int32(i)] = -1
			queue = append(queue, int32(i))
		}
	}
	w := int32(a.W)
	for n := 0; n < len(queue); n++ {
		i := queue[n]
		if v := a.paper[i]; v != area && v != 0 && a.roomy[i] {
			return a.inInk(i, from)
		}
		for _, k := range [4]int32{i - 1, i + 1, i - w, i + w} {
			if k < 0 || int(k) >= len(a.drawn) || a.drawn[k] != room {
				continue
			}
			if _, seen := from[k]; !seen {
				from[k] = i
				queue = append(queue, k)
			}
		}
	}
	return at, false
}

// inInk follows a way back from cell i and returns the middle of what lies in ink.
func (a areas) inInk(i int32, from map[int32]int32) (at paths.Point, ok bool) {
	var cells []int32
	for ; i >= 0; i = from[i] {
		if a.paper[i] == 0 {
			cells = append(cells, i)
		}
	}
	if len(cells) == 0 {
		return at, false
	}
	mid := int(cells[len(cells)/2])
	x, y := mid%a.W-a.round, mid/a.W-a.round
	return paths.Point{X: float64(x), Y: float64(y)}.Mul(float64(a.side)).Add(paths.Point{X: float64(a.side-1) / 2, Y: float64(a.side-1) / 2}), true
}

// along yields places along a line, at most apart from each other, both ends included.
func along(pts []paths.Point, apart float64) iter.Seq[paths.Point] {
	return func(yield func(paths.Point) bool) {
		for i, b := range pts {
			a := pts[max(0, i-1)]
			n := max(1, int(math.Ceil(a.Dist(b)/apart)))
			for k := 1; k <= n; k++ {
				if !yield(a.Lerp(b, float64(k)/float64(n))) {
					return
				}
			}
		}
	}
}
