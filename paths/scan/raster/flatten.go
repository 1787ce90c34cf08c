package raster

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// flatten returns the sheet in a photo as a page seen square on. onto maps places of the
// page, in its pixels, to the photo.
func flatten(name string, g grey, sheet Sheet, corners []paths.Point) (p Page, onto func(paths.Point) paths.Point, found FoundSheet, err error) {
	found.ByHand = len(corners) > 0
	var q quad
	var rms float64
	var bend lens
	middle := paths.Point{X: float64(g.w) / 2, Y: float64(g.h) / 2}
	var off paths.Point // where the photo begins in g
	if found.ByHand {
		q, g, off, err = byHand(name, g, corners, &found)
	} else {
		q, bend, rms, err = findSheet(name, g)
		for i, c := range q {
			found.Corners[i] = bend.bent(c)
		}
	}
	if err != nil {
		return p, nil, found, err
	}
	found.Proportion = proportion(q, middle.Add(off))
	found.Sheet = sheet
	if sheet.turned().like(found.Proportion) < sheet.like(found.Proportion) {
		found.Sheet = sheet.turned()
	}
	if off := found.Sheet.like(found.Proportion); off > mostOff && !found.ByHand {
		return p, nil, found, fault.Bad(name, "give the size of the sheet that is in the photo with [paper], or its corners with [corners]",
			"the sheet in the photo is %.2f times as wide as high, and one of %s is %.2f", found.Proportion, found.Sheet, found.Sheet.W/found.Sheet.H)
	}
	w, h := found.Sheet.W, found.Sheet.H
	m, err := homographyOf([]paths.Point{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}, q[:])
	if err != nil {
		return p, nil, found, fault.Bad(name, layOut, "the corners of the sheet do not make a sheet")
	}
	scale := m.scaleAt(paths.Point{X: w / 2, Y: h / 2}) // pixels a mm
	found.DPI = scale * paths.MMPerInch
	if found.DPI < 40 {
		return p, nil, found, fault.Bad(name, "take the photo from nearer", "the photo has only %.0f pixels to the inch of the sheet, too few to see a line by", found.DPI)
	}
	found.BowMM, found.Bend = rms/scale, bend.bend
	mm := max(finest, 1/scale)
	mm = max(mm, math.Sqrt(w*h/maxPage))
	onto = func(q paths.Point) paths.Point {
		return bend.bent(m.apply(paths.Point{X: min(max(q.X*mm, rim), w-rim), Y: min(max(q.Y*mm, rim), h-rim)}))
	}
	p = warped(g, m, onto, w, h, mm)
	wide := onto
	return p, func(q paths.Point) paths.Point { return wide(q).Sub(off) }, found, nil
}

// mostOff is how far, as a factor, the proportion of a sheet may seem to be from that of
// its size: A4 and letter paper are 1.09 apart, and a photo tells them to about 0.03.
const mostOff = 1.06

// layOut is advice on how to take a photo that can be read.
const layOut = "lay the sheet flat on a darker table, with all four corners in view and nothing bright beside it, and take the photo from straight above; or give the corners with [corners]"

// sideNames are the names of the sides of a quad, from the first corner
// clockwise.
var sideNames = [4]string{"upper", "right", "lower", "left"}

// findSheet finds the corners of a bright sheet on a darker table, as a lens that does
// not bend would show them, how the lens of the photo bends, and how far the worst edge
// is from straight after that, in pixels.
func findSheet(name string, g grey) (quad, lens, float64, error) {
	guesses, coarse := brightQuads(g)
	bad := fault.Bad(name, layOut, "no sheet of paper is to be found in the photo")
	for _, q := range guesses {
		var rms float64
		weak := -1
		for _, reach := range []float64{7 * coarse, 2*coarse + 4} {
			if q, rms, weak = refined(g, q, reach); weak >= 0 {
				break
			}
		}
		if weak < 0 {
			bend, straight, left, ok := lensBy(g, q, 2*coarse+4)
			if ok && bend.bend != 0 && straight.isConvex() {
				return straight, bend, left, nil
			}
			q, rms, weak = refined(g, q, 5)
		}
		switch {
		case weak >= 0 && g.nearRim(q[weak], coarse) && g.nearRim(q[(weak+1)%4], coarse):
			bad = fault.Bad(name, layOut, "the sheet runs out of the photo at its %s edge", sideNames[weak])
		case weak >= 0:
			bad = fault.Bad(name, layOut, "the %s edge of the sheet cannot be made out", sideNames[weak])
		case !q.isConvex():
		default:
			return q, lens{}, rms, nil
		}
	}
	return quad{}, lens{}, 0, bad
}

// nearRim reports whether a place is within three coarse pixels of the edge of
// the photo.
func (g grey) nearRim(p paths.Point, coarse float64) bool {
	return min(p.X, p.Y, float64(g.w)-p.X, float64(g.h)-p.Y) < 3*coarse
}

// leastSeen is the share of an edge that must be visible: fingers may cover
// some.
const leastSeen = 0.5

// refined returns the corners where the edges near those of q cross, and how far
// the worst is from straight. weak is the number of an edge that was not seen,
// -1 when all were.
func refined(g grey, q quad, reach float64) (out quad, rms float64, weak int) {
	var sides [4]side
	for i := range sides {
		sides[i] = edgeBetween(g, q[i], q[(i+1)%4], reach)
		if sides[i].share < leastSeen {
			return q, 0, i
		}
		rms = max(rms, sides[i].rms)
	}
	for i := range out {
		p, ok := sides[(i+3)%4].line.meets(sides[i].line)
		inside := paths.Rect{Max: paths.Point{X: float64(g.w), Y: float64(g.h)}}
		if !ok || !inside.Contains(p) {
			return q, 0, i
		}
		out[i] = p
	}
	return out, rms, -1
}

// byHand returns the sheet between corners that a person gave, in a photo that has room
// for all of it, and where the photo begins in that.
func byHand(name string, g grey, corners []paths.Point, found *FoundSheet) (quad, grey, paths.Point, error) {
	q, err := cornersByHand(g, corners)
	if err != nil {
		return q, g, paths.Point{}, err
	}
	found.Corners, found.Beyond = q, beyond(q, g)
	g, off, err := widened(name, g, q)
	for i := range q {
		q[i] = q[i].Add(off)
	}
	return q, g, off, err
}

// cornersByHand checks corners that a person gave.
func cornersByHand(g grey, pts []paths.Point) (quad, error) {
	const do = `give the four corners in pixels from the upper left corner of the photo, such as [corners] "102,80 2950,95 2930,2100 110,2080"`
	if len(pts) != 4 {
		return quad{}, fault.Bad("corners", do, "%d corners were given", len(pts))
	}
	frame := paths.Rect{Max: paths.Point{X: float64(g.w), Y: float64(g.h)}}
	near := frame.Grow(mostBeyond * float64(min(g.w, g.h)))
	for _, p := range pts {
		if !near.Contains(p) {
			return quad{}, fault.Bad("corners", do, "the corner %g,%g lies too far outside the photo, which is %d x %d pixels", p.X, p.Y, g.w, g.h)
		}
	}
	q := clockwise(quad(pts))
	if !q.isConvex() {
		return quad{}, fault.Bad("corners", do, "the corners do not make a sheet with four sides")
	}
	if part := beyond(q, g); part > 0.5 {
		return quad{}, fault.Bad("corners", "take the photo from farther off, with all of the sheet in view", "%.0f %% of the sheet lies outside the photo", 100*part)
	}
	return q, nil
}

// mostBeyond is how far outside the photo a corner may lie, in shares of its shorter
// side: the sheet is cut off by the frame.
const mostBeyond = 0.5

// beyond returns the share of a sheet that lies outside the photo.
func beyond(q quad, g grey) float64 {
	const n = 50
	out := 0
	for j := range n {
		v := (float64(j) + 0.5) / n
		left, right := q[0].Lerp(q[3], v), q[1].Lerp(q[2], v)
		for i := range n {
			p := left.Lerp(right, (float64(i)+0.5)/n)
			if p.X < 0 || p.Y < 0 || p.X > float64(g.w) || p.Y > float64(g.h) {
				out++
			}
		}
	}
	return float64(out) / (n * n)
}

// widened returns a photo with room round it for all of a sheet, and where the photo
// begins in it. The room gets the light of the paper at the edge of the photo, so that
// lines end there.
func widened(name string, g grey, q quad) (grey, paths.Point, error) {
	box := paths.RectOf(q[:]...)
	left, top := int(max(0, math.Ceil(-box.Min.X))), int(max(0, math.Ceil(-box.Min.Y)))
	w, h := left+max(g.w, int(math.Ceil(box.Max.X))), top+max(g.h, int(math.Ceil(box.Max.Y)))
	if w == g.w && h == g.h {
		return g, paths.Point{}, nil
	}
	if w*h > maxPixels {
		return g, paths.Point{}, fault.Bad(name, "make it smaller, or give corners inside it", "the photo, with the part of the sheet outside it, is more than is read")
	}
	rows, columns := sideLight(g), sideLight(transposed(g))
	out := newGrey(w, h)
	for y := range h {
		for x := range w {
			i, j := x-left, y-top
			ci, cj := min(max(i, 0), g.w-1), min(max(j, 0), g.h-1)
			switch {
			case i == ci && j == cj:
				out.pix[y*w+x] = g.pix[j*g.w+i]
			case i != ci:
				out.pix[y*w+x] = rows[min(1, ci)][cj]
			default:
				out.pix[y*w+x] = columns[min(1, cj)][ci]
			}
		}
	}
	return out, paths.Point{X: float64(left), Y: float64(top)}, nil
}

// sideLight returns the light of the paper along the left side of a photo, and along its
// right, by row: what four fifths of the pixels about there stay below.
func sideLight(g grey) (sides [2][]uint8) {
	deep, reach := max(1, g.w/100), max(1, g.h/50)
	for k := range sides {
		sides[k] = make([]uint8, g.h)
		x0 := k * (g.w - deep)
		for y0 := 0; y0 < g.h; y0 += reach {
			var light []uint8
			for y := max(0, y0-reach); y < min(g.h, y0+2*reach); y++ {
				light = append(light, g.pix[y*g.w+x0:][:deep]...)
			}
			slices.Sort(light)
			for y := y0; y < min(g.h, y0+reach); y++ {
				sides[k][y] = light[len(light)*4/5]
			}
		}
	}
	return sides
}

// rim is the width in mm of the strip along the edges of the sheet that is not
// used, because the table or a shadow shows there. It gets the light of what is
// next to it.
const rim = 1.2

// warped returns the w x h mm of a sheet. onto maps pixels of the page to pixels of the
// photo, as m does mm, but for the bending of the lens. Each pixel of the page is the
// mean of places spread over it, no farther apart than the pixels of the photo.
func warped(g grey, m homography, onto func(paths.Point) paths.Point, w, h, mm float64) Page {
	p := Page{W: int(math.Round(w / mm)), H: int(math.Round(h / mm)), MM: mm}
	p.Light = make([]uint8, p.W*p.H)
	n := 2
	for _, c := range []paths.Point{{}, {X: w}, {X: w, Y: h}, {Y: h}} {
		n = min(8, max(n, int(math.Ceil(m.scaleAt(c)*mm))))
	}
	for y := range p.H {
		for x := range p.W {
			var sum float64
			for j := range n {
				for i := range n {
					sum += g.at(onto(paths.Point{X: float64(x) + (float64(i)+0.5)/float64(n), Y: float64(y) + (float64(j)+0.5)/float64(n)}))
				}
			}
			p.Light[y*p.W+x] = uint8(sum/float64(n*n) + 0.5)
		}
	}
	return p
}
