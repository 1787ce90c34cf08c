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
	// planWidths is the side of a cell of ink in widths of the line.
	planWidths = 1. / 4
	// fineRoomy is the side of a cell of the lines as a share of the radius of the circle
	// that fits into an area. Lines part the page more finely than ink does, so that gaps
	// of a third of a width are seen too. No cell is less than a pixel.
	fineRoomy = 1. / 6
	// ShutWidths is how wide a gap in ink is, in widths of the line, that still closes
	// an area: paper's tooth leaves as much out. SkipWidths is that where the pencil
	// skipped often.
	ShutWidths = 1.
	SkipWidths = 1.7
)

// Plan is the ink of a page in cells, with room round it.
type Plan struct {
	side  int // of a cell, pixels
	fine  int // of a cell of the lines, pixels; side is a multiple of it
	round int // how many cells of room lie at each side
	skeleton.Plane
	width, roomy float64
}

// PlanOf returns the plan of a mask for lines of a width. A cell is inked where any of
// its pixels is. Only areas count that a circle of radius roomy fits into, between
// their ink. Both are in pixels.
func PlanOf(mask skeleton.Plane, width, roomy float64) Plan {
	fine := max(1, int(math.Round(fineRoomy*roomy)))
	side := fine * max(1, int(planWidths*width/float64(fine)))
	round := int((SkipWidths*width+roomy)/float64(side)) + 3
	p := Plan{side, fine, round, skeleton.NewPlane((mask.W-1)/side+1+2*round, (mask.H-1)/side+1+2*round), width, roomy}
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
	// paper numbers the areas that ink parts; 0 is what parts them.
	paper []int32
	// roomy are the cells that lie well away from ink.
	roomy []bool
	// lines are fine cells, 0 where a line passes; drawn numbers the areas that they
	// part. At each cell of the plan lie times by times of them.
	lines skeleton.Plane
	drawn []int32
	times int
}

// areasOf compares the areas that the ink of a plan parts with those that strokes, in
// pixels, do.
func areasOf(p Plan, strokes []paths.Stroke, shut, roomy float64) areas {
	free := skeleton.NewPlane(p.W, p.H)
	for i, v := range p.Pixels {
		free.Pixels[i] = 1 - v
	}
	away := skeleton.DistancesIn(free)
	a := areas{Plan: p, roomy: make([]bool, len(p.Pixels)), times: p.side / p.fine}
	for i, square := range away.Squares {
		free.Pixels[i] = 0
		if float64(square) > shut*shut {
			free.Pixels[i] = 1
		}
		a.roomy[i] = float64(square) > roomy*roomy
	}
	a.paper = free.Areas()
	a.lines = skeleton.NewPlane(p.W*a.times, p.H*a.times)
	for i := range a.lines.Pixels {
		a.lines.Pixels[i] = 1
	}
	for _, s := range strokes {
		a.wall(s)
	}
	a.drawn = a.lines.Areas()
	return a
}

// cell returns the cell of the plan that fine cell i lies in.
func (a areas) cell(i int32) int {
	x, y := int(i)%a.lines.W, int(i)/a.lines.W
	return y/a.times*a.W + x/a.times
}

// middle returns the fine cell in the middle of cell i of the plan.
func (a areas) middle(i int) int32 {
	x, y := i%a.W*a.times+a.times/2, i/a.W*a.times+a.times/2
	return int32(y*a.lines.W + x)
}

// at returns the middle of fine cell i in pixels.
func (a areas) at(i int32) paths.Point {
	x, y := int(i)%a.lines.W-a.round*a.times, int(i)/a.lines.W-a.round*a.times
	half := float64(a.fine-1) / 2
	return paths.Point{X: float64(x*a.fine) + half, Y: float64(y*a.fine) + half}
}

// wall clears the fine cells that a stroke passes through, so that no way by the sides
// of cells leads across it.
func (a areas) wall(s paths.Stroke) {
	lastX, lastY := -1, -1
	fine, room := float64(a.fine), a.round*a.times
	for q := range along(s.Flatten(0.2), 0.25*fine) {
		x, y := int(math.Floor((q.X+0.5)/fine))+room, int(math.Floor((q.Y+0.5)/fine))+room
		if x < 0 || y < 0 || x >= a.lines.W || y >= a.lines.H {
			lastX = -1
			continue
		}
		a.lines.Pixels[y*a.lines.W+x] = 0
		if lastX >= 0 && x != lastX && y != lastY {
			a.lines.Pixels[y*a.lines.W+lastX] = 0
		}
		lastX, lastY = x, y
	}
}

// Open is an area that ink closes and the lines leave open.
type Open struct {
	// From and To are the two sides, in pixels, of the narrowest passage through ink on
	// the way out of it. They are one place where no two lines lie near that.
	From, To paths.Point
	// Round is about the length of the ink round the smaller of the two areas that are
	// one. The longer, the more it matters.
	Round float64
}

// At is the middle of the passage.
func (o Open) At() paths.Point { return o.From.Lerp(o.To, 0.5) }

// apartRoomy is how far from each other two areas are listed, by the radius of the circle
// that fits into one.
const apartRoomy = 1.5

// Open returns the areas that ink closes and strokes leave open, one for each passage.
// gap is how wide a gap in ink is, in pixels, that still closes an area.
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
		o, into, ok := a.wayOut(area, room)
		if ok && !anyWithin(out, o.At(), apartRoomy*p.roomy) {
			o.Round = 2 * math.Sqrt(math.Pi*float64(min(size[area], size[into]))) * side
			out = append(out, o)
		}
	}
	return out
}

func anyWithin(list []Open, p paths.Point, d float64) bool {
	for _, o := range list {
		if o.At().Dist(p) < d {
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
		if !a.roomy[i] {
			continue
		}
		if room := a.drawn[a.middle(i)]; room != 0 {
			votes[[2]int32{area, room}]++
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
