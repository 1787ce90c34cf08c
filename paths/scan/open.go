package scan

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/skeleton"
)

// An area that ink closes on the paper and that the lines leave open is listed, with
// the place where a way leads out of it. Both are looked at in a plan of small cells.

const (
	// planWidths is the side of a cell in widths of the line; a cell is never less
	// than a pixel.
	planWidths = 1. / 3
	// shutWidths is how wide a gap in ink is, in widths of the line, that still closes
	// an area: paper's tooth leaves as much out. skipShutWidths is that where the pencil
	// skipped often.
	shutWidths     = 1.
	skipShutWidths = 1.7
	// mostShutMM bounds it where lines have no grain.
	mostShutMM = 1.5
	// roomyMM is the radius of a circle that fits between the ink of an area that counts.
	roomyMM = 1.
)

// plan is the ink of the page in cells, with room round it.
type plan struct {
	side  int // of a cell, pixels
	round int // how many cells of room lie at each side
	skeleton.Plane
}

// planOf returns the plan of a mask. A cell is inked where any of its pixels is.
func (t *tracer) planOf(mask skeleton.Plane) plan {
	side := max(1, int(planWidths*t.width))
	round := int((skipShutWidths*t.width+roomyMM/t.mm)/float64(side)) + 3
	p := plan{side, round, skeleton.NewPlane((mask.W-1)/side+1+2*round, (mask.H-1)/side+1+2*round)}
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

// areas are the areas of a plan: ink parts them on the paper, and lines in the result.
type areas struct {
	plan
	// paper numbers the areas that ink parts, drawn those that lines part; 0 is
	// what parts them.
	paper, drawn []int32
	// roomy are the cells that lie well away from ink.
	roomy []bool
}

// areasOf compares the areas that the ink of a plan parts with those that strokes, in
// pixels, do.
func areasOf(p plan, strokes []paths.Stroke, shut, roomy float64) areas {
	free := skeleton.NewPlane(p.W, p.H)
	for i, v := range p.Pixels {
		free.Pixels[i] = 1 - v
	}
	away := skeleton.DistancesIn(free)
	a := areas{plan: p, roomy: make([]bool, len(p.Pixels))}
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
func (p plan) wall(free skeleton.Plane, s paths.Stroke) {
	lastX, lastY := -1, -1
	for _, q := range resample(s.Flatten(0.2), 0.25*float64(p.side)) {
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

// listOpen lists the areas that ink closes and the lines drawn leave open. breaks is how
// many breaks in lines there were.
func (t *tracer) listOpen(p plan, breaks int) {
	side := float64(p.side)
	shut := t.even(shutWidths*t.width/2, mostShutMM/2) / side
	if breaks >= often {
		shut = skipShutWidths * t.width / 2 / side
	}
	a := areasOf(p, t.out.Strokes, shut, max(shut, roomyMM/t.mm/side))
	size, home := a.homes()
	shared := make(map[int32]int)
	for _, room := range home {
		shared[room]++
	}
	var listed []paths.Point
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
		if !ok || anyWithin(listed, at, 2*t.width) {
			continue
		}
		listed = append(listed, at)
		// The longer the ink round it, the more it matters.
		round := 2 * math.Sqrt(math.Pi*float64(size[area])) * side * t.mm
		t.out.Finds = append(t.out.Finds, Find{Kind: Doubtful, At: at, LengthMM: round,
			Message: "the ink closes an area that the lines leave open here"})
	}
}

func anyWithin(list []paths.Point, p paths.Point, d float64) bool {
	for _, q := range list {
		if q.Dist(p) < d {
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
