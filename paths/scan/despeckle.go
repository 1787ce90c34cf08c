package scan

import "weftplot/paths"

// span is a stretch of pixels of one kind in a row, from x0 up to x1.
type span struct {
	y, x0, x1 int32
	// part is the part that it belongs to.
	part int32
}

// part is pixels that hang together.
type part struct {
	area, strong     int
	x0, y0, x1, y1   int32 // the box, from (x0, y0) up to (x1, y1)
	sumX, sumY, dark int64 // over its pixels; dark is how much darker than paper
	touchesSide      bool
	lightest         uint8
}

// parts finds what hangs together among the pixels that is tells of: across
// corners too if diagonal. grey is for how dark they are.
func parts(mask, grey plane, is [3]bool, diagonal bool) ([]span, []part) {
	spans := spansOf(mask, is)
	parent := make([]int32, len(spans))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(i int32) int32 {
		for parent[i] != i {
			parent[i] = parent[parent[i]]
			i = parent[i]
		}
		return i
	}
	corner := int32(0)
	if diagonal {
		corner = 1
	}
	above := 0 // the first run of the row above that may touch
	for i := range spans {
		r := spans[i]
		for spans[above].y < r.y-1 || spans[above].y == r.y-1 && spans[above].x1+corner <= r.x0 {
			above++
		}
		for k := above; k < i && spans[k].y == r.y-1 && spans[k].x0 < r.x1+corner; k++ {
			if a, b := find(int32(k)), find(int32(i)); a != b {
				parent[max(a, b)] = min(a, b)
			}
		}
	}
	var list []part
	for i := range spans {
		if root := find(int32(i)); root == int32(i) {
			spans[i].part = int32(len(list))
			list = append(list, part{x0: spans[i].x0, y0: spans[i].y, x1: spans[i].x1, y1: spans[i].y + 1})
		} else {
			spans[i].part = spans[root].part
		}
		list[spans[i].part].add(spans[i], mask, grey)
	}
	return spans, list
}

// add counts a run in.
func (p *part) add(r span, mask, grey plane) {
	n := int64(r.x1 - r.x0)
	p.area += int(n)
	p.sumX += n * int64(r.x0+r.x1-1) / 2
	p.sumY += n * int64(r.y)
	at := int(r.y) * mask.w
	for x := int(r.x0); x < int(r.x1); x++ {
		p.dark += paper - int64(grey.v[at+x])
		p.lightest = max(p.lightest, grey.v[at+x])
		if mask.v[at+x] == strong {
			p.strong++
		}
	}
	p.x0, p.y0 = min(p.x0, r.x0), min(p.y0, r.y)
	p.x1, p.y1 = max(p.x1, r.x1), max(p.y1, r.y+1)
	if r.x0 == 0 || r.y == 0 || int(r.x1) == mask.w || int(r.y) == mask.h-1 {
		p.touchesSide = true
	}
}

// middle returns the mean of its pixels.
func (p part) middle() paths.Point {
	return paths.Point{X: float64(p.sumX) / float64(p.area), Y: float64(p.sumY) / float64(p.area)}
}

// size returns the longer side of the box in pixels.
func (p part) size() int { return int(max(p.x1-p.x0, p.y1-p.y0)) }

// spansOf lists the spans of a picture, row by row.
func spansOf(mask plane, is [3]bool) []span {
	var spans []span
	for y := range mask.h {
		row := mask.v[y*mask.w:][:mask.w]
		for x := 0; x < mask.w; x++ {
			if !is[row[x]] {
				continue
			}
			from := x
			for x < mask.w && is[row[x]] {
				x++
			}
			spans = append(spans, span{y: int32(y), x0: int32(from), x1: int32(x)})
		}
	}
	return spans
}

// paint sets the pixels of a run.
func (p plane) paint(r span, v uint8) {
	row := p.v[int(r.y)*p.w:]
	for x := r.x0; x < r.x1; x++ {
		row[x] = v
	}
}

// despeckle leaves of a mask only 0 and 1: ink that holds some that is sure and
// is no speck. It returns the specks and the dots that it took out. Sizes are in
// pixels: width of the line, and the least area of what is no speck.
func despeckle(mask, grey plane, width, least float64) (dots, specks []part) {
	spans, list := parts(mask, grey, [3]bool{weak: true, strong: true}, true)
	level := inkLevel(list, width)
	kind := make([]uint8, len(list))
	for i, p := range list {
		switch {
		case p.strong == 0:
		case isDot(p, width, level):
			dots = append(dots, p)
		case float64(p.area) < least || p.size() < int(width*1.2):
			specks = append(specks, p)
		default:
			kind[i] = 1
		}
	}
	for _, r := range spans {
		mask.paint(r, kind[r.part])
	}
	return dots, specks
}

// inkLevel returns how much darker than paper the lines are on the whole: of
// all parts longer than a few widths.
func inkLevel(list []part, width float64) float64 {
	var dark, area int64
	for _, p := range list {
		if p.strong > 0 && float64(p.size()) > 4*width {
			dark, area = dark+p.dark, area+int64(p.area)
		}
	}
	if area == 0 {
		return 0
	}
	return float64(dark) / float64(area)
}

// isDot reports whether a part is a point set with the pen: about as long and
// wide as the line is wide, full, and as dark as the lines are.
func isDot(p part, width, level float64) bool {
	long, short := float64(p.size()), float64(min(p.x1-p.x0, p.y1-p.y0))
	return width > 0 && long < 2*width && short > 0.6*width && short > 0.6*long &&
		float64(p.area) > 0.6*long*short && float64(p.dark) > 0.5*level*float64(p.area)
}

// fillHoles makes ink of holes of at most so many pixels that the pencil left in
// a line: those that are hardly more, and those that are nowhere as light as
// paper is.
func fillHoles(mask, grey plane, most, level float64) {
	spans, list := parts(mask, grey, [3]bool{bare: true}, false)
	for _, s := range spans {
		p := list[s.part]
		if p.touchesSide || float64(p.area) > most {
			continue
		}
		if float64(p.area) < most/6 || paper-float64(p.lightest) > 0.25*level {
			mask.paint(s, 1)
		}
	}
}
