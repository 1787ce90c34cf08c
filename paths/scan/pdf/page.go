package pdf

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
)

// Page is what was found on one page, in mm, y up, from the lower left corner of
// the page as it is shown.
type Page struct {
	W, H float64 // mm
	// Pictures are those drawn on the page, in the order of drawing.
	Pictures []Picture
	// Lines are the paths drawn on it. Of a shape that is only filled it is the
	// outline. What is drawn in white is left out.
	Lines []Line
	// Notes are sentences about what was left out or changed.
	Notes []string
}

// Line is one path.
type Line struct {
	Stroke paths.Stroke
	Width  float64 // as drawn, mm; 0 is the finest line there is
	Filled bool    // it is the outline of a shape without a line of its own
}

// mmPerUnit is a unit of user space: 1/72 inch (8.3.2.3).
const mmPerUnit = paths.MMPerInch / 72

// Page reads page n, counted from 1. The error is of a page that there is not, or
// whose content is more than is read.
func (f *File) Page(n int) (Page, error) {
	if n < 1 || n > len(f.pages) {
		return Page{}, fault.Bad("", "choose one of them with [page]", "there is no page %d: the file has %d", n, len(f.pages))
	}
	d := f.pages[n-1]
	box, ok := f.box(d["CropBox"])
	if media, has := f.box(d["MediaBox"]); has {
		box = within(box, media, ok)
	} else if !ok {
		box = paths.Rect{Max: paths.Point{X: 612, Y: 792}}
	}
	unit := mmPerUnit
	if u, ok := f.number(d["UserUnit"]); ok && u >= 1 && u <= 75_000 {
		unit *= u
	}
	turn, _ := f.number(d["Rotate"])
	quarter := ((int(math.Round(math.Mod(turn, 360)/90)) % 4) + 4) % 4
	size := paths.Point{X: box.Width(), Y: box.Height()}
	m := paths.Translate(box.Min.Mul(-1))
	for range quarter { // clockwise
		m = m.Then(paths.Affine{B: -1, C: 1, F: size.X})
		size.X, size.Y = size.Y, size.X
	}
	m = m.Then(paths.Scale(unit, unit))
	page := Page{W: size.X * unit, H: size.Y * unit}
	if page.W < 1 || page.H < 1 || page.W > 20_000 || page.H > 20_000 {
		return Page{}, fault.Bad("", "save it at its true size", "page %d is %.4g x %.4g mm", n, page.W, page.H)
	}
	p := &painter{file: f, page: &page, left: maxOperators}
	content, err := p.contents(d["Contents"])
	if err == nil {
		err = p.paint(content, f.dict(d["Resources"]), state{m: m, width: 1}, 0)
	}
	page.Notes = p.notes()
	return page, err
}

// within returns what a crop box leaves of the media box (14.11.2).
func within(crop, media paths.Rect, cropped bool) paths.Rect {
	in := paths.Rect{
		Min: paths.Point{X: max(crop.Min.X, media.Min.X), Y: max(crop.Min.Y, media.Min.Y)},
		Max: paths.Point{X: min(crop.Max.X, media.Max.X), Y: min(crop.Max.Y, media.Max.Y)},
	}
	if !cropped || in.Max.X <= in.Min.X || in.Max.Y <= in.Min.Y {
		return media
	}
	return in
}

// box reads a rectangle, with its corners in any order.
func (f *File) box(v any) (paths.Rect, bool) {
	n := f.numbers(v, 4)
	if n == nil {
		return paths.Rect{}, false
	}
	r := paths.RectOf(paths.Point{X: n[0], Y: n[1]}, paths.Point{X: n[2], Y: n[3]})
	return r, r.Width() > 0 && r.Height() > 0 && r.Width() < 1e7 && r.Height() < 1e7
}

// contents puts the streams of a page together (7.7.3.3).
func (p *painter) contents(v any) ([]byte, error) {
	list := p.file.array(v)
	if list == nil {
		list = array{v}
	}
	var all []byte
	for _, k := range list {
		s, ok := p.file.get(k).(*stream)
		if !ok {
			continue
		}
		out, err := p.content(s)
		if all = append(append(all, out...), '\n'); err != nil || len(all) > maxUnpacked {
			return nil, errTooMuch
		}
	}
	return all, nil
}

// content unpacks operators. What is damaged is read up to the damage, which the
// notes tell; what is too much is not read at all.
func (p *painter) content(s *stream) ([]byte, error) {
	out, err := p.file.unpack(s)
	if err == errTooMuch {
		return nil, err
	}
	if err != nil {
		p.count.damaged++
	}
	if p.left -= len(out) / 64; p.left < 0 { // so that what draws nothing counts too
		return nil, errLong
	}
	return out, nil
}
