package papers

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/scan/truth"
)

// Verdict is how well the lines of a page were found.
type Verdict struct {
	// Score has the distances, and what is missing and spurious.
	truth.Score
	// Regions are the regions that ink closes on the paper, which a circle of 2 mm
	// fits into. Open are those of them that the lines found do not close: a way of
	// 0.2 mm leads out of them, or into another region. Unlisted are the open ones
	// whose way out lies more than 2.5 mm from every listed place.
	Regions, Open, Unlisted int
	// Lost are the ways out of unlisted regions.
	Lost []paths.Point
}

// Judge compares the lines found on a page, in its frame, with those drawn.
// listed are the places that a person was told to look at.
func (p Page) Judge(found []paths.Stroke, listed []paths.Point) Verdict {
	v := Verdict{Score: truth.Compare(found, p.Drawn)}
	v.regions(found, p, listed)
	return v
}

// cells is a plan of the page in squares of 0.1 mm, with room round the lines.
type cells struct {
	w, h   int
	origin paths.Point
	wall   []bool
}

const cellMM = 0.1

// wallsOf blocks the cells within reach of the lines: the middles of cells that
// lie within reach mm, and where reach is small the cells a line passes through.
func wallsOf(lines []paths.Stroke, area paths.Rect, reach float64) cells {
	c := cells{w: int(area.Width()/cellMM) + 1, h: int(area.Height()/cellMM) + 1, origin: area.Min}
	c.wall = make([]bool, c.w*c.h)
	for _, s := range lines {
		pts := s.Flatten(0.01)
		for i := range pts {
			a, b := pts[max(0, i-1)], pts[i]
			n := max(1, int(math.Ceil(a.Dist(b)/max(cellMM/2, reach/4))))
			for k := 0; k <= n; k++ {
				c.block(a.Lerp(b, float64(k)/float64(n)), reach)
			}
		}
	}
	return c
}

// block blocks the cells about a place.
func (c cells) block(p paths.Point, reach float64) {
	x, y := (p.X-c.origin.X)/cellMM-0.5, (p.Y-c.origin.Y)/cellMM-0.5
	r := reach / cellMM
	for j := max(0, int(math.Ceil(y-r))); j <= min(c.h-1, int(y+r)); j++ {
		for i := max(0, int(math.Ceil(x-r))); i <= min(c.w-1, int(x+r)); i++ {
			if dx, dy := float64(i)-x, float64(j)-y; dx*dx+dy*dy <= r*r {
				c.wall[j*c.w+i] = true
			}
		}
	}
}

// rooms numbers the connected free cells from 1; 1 is what lies outside all
// lines. Walls have 0. Cells are connected by their sides.
func (c cells) rooms() []int32 {
	of := make([]int32, len(c.wall))
	var queue []int32
	next := int32(0)
	for start := range of {
		if c.wall[start] || of[start] != 0 {
			continue
		}
		next++
		of[start] = next
		queue = append(queue[:0], int32(start))
		for len(queue) > 0 {
			i := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, k := range c.sides(i) {
				if k >= 0 && !c.wall[k] && of[k] == 0 {
					of[k] = next
					queue = append(queue, k)
				}
			}
		}
	}
	return of
}

// sides are the four cells beside cell i; -1 where there is none.
func (c cells) sides(i int32) [4]int32 {
	out := [4]int32{i - 1, i + 1, i - int32(c.w), i + int32(c.w)}
	if x := int(i) % c.w; x == 0 {
		out[0] = -1
	} else if x == c.w-1 {
		out[1] = -1
	}
	if int(out[3]) >= c.w*c.h {
		out[3] = -1
	}
	return out
}

// regions counts the regions, and those open and unlisted.
func (v *Verdict) regions(found []paths.Stroke, p Page, listed []paths.Point) {
	area := paths.BoundsOf(p.Drawn).Grow(6 + p.Width)
	ink := 0.4 * p.Width
	paper := wallsOf(p.Drawn, area, max(0.1, ink)).rooms()
	deep := wallsOf(p.Drawn, area, ink+1).wall // a place that is not deep is too near a line to tell
	result := wallsOf(found, area, cellMM)
	after := result.rooms()
	home := homes(paper, after, deep)
	shared := map[int32]int{}
	for _, room := range home {
		shared[room]++
	}
	outside, last := home[1], maxOf(paper)
	for region := int32(2); region <= last; region++ {
		room, counts := home[region]
		if !counts {
			continue
		}
		v.Regions++
		if room != outside && shared[room] == 1 {
			continue
		}
		v.Open++
		way := result.wayOut(region, room, paper, after, deep)
		if !isListed(way, listed) {
			v.Unlisted++
			v.Lost = append(v.Lost, way...)
		}
	}
}

func maxOf(of []int32) int32 {
	most := int32(0)
	for _, v := range of {
		most = max(most, v)
	}
	return most
}

// homes gives each region that has cells well away from lines the room of the
// result that most of these lie in.
func homes(paper, after []int32, near []bool) map[int32]int32 {
	votes := map[[2]int32]int{}
	for i, region := range paper {
		if region != 0 && !near[i] && after[i] != 0 {
			votes[[2]int32{region, after[i]}]++
		}
	}
	home, best := map[int32]int32{}, map[int32]int{}
	for v, n := range votes {
		if n > best[v[0]] || n == best[v[0]] && v[1] < home[v[0]] {
			home[v[0]], best[v[0]] = v[1], n
		}
	}
	return home
}

// wayOut returns where the shortest way from the deep cells of a region, round
// the lines found, into the deep cells of another passes through the ink.
func (c cells) wayOut(region, room int32, paper, after []int32, near []bool) []paths.Point {
	from := make(map[int32]int32)
	var queue []int32
	for i := range paper {
		if paper[i] == region && after[i] == room && !near[i] {
			from[int32(i)] = -1
			queue = append(queue, int32(i))
		}
	}
	for n := 0; n < len(queue); n++ {
		i := queue[n]
		if paper[i] != region && paper[i] != 0 && !near[i] {
			return c.throughInk(i, from, paper)
		}
		for _, k := range c.sides(i) {
			if k < 0 || after[k] != room {
				continue
			}
			if _, seen := from[k]; !seen {
				from[k] = i
				queue = append(queue, k)
			}
		}
	}
	return nil
}

// throughInk walks a way back from cell i, and returns the middles of its cells
// that lie in ink.
func (c cells) throughInk(i int32, from map[int32]int32, paper []int32) []paths.Point {
	var out []paths.Point
	for ; i >= 0; i = from[i] {
		if paper[i] == 0 {
			x, y := float64(int(i)%c.w)+0.5, float64(int(i)/c.w)+0.5
			out = append(out, c.origin.Add(at(x, y).Mul(cellMM)))
		}
	}
	return out
}

func isListed(way, listed []paths.Point) bool {
	for _, p := range way {
		for _, l := range listed {
			if p.Dist(l) <= 2.5 {
				return true
			}
		}
	}
	return false
}
