package proof

import (
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/paths/cores"
	"weftplot/plot/proof/typeface"
)

// layout is a page being laid out.
type layout struct {
	scene Scene
	em    float64 // text size in mm
	frame paths.Rect
	// whole reports whether the frame shows everything; if not, a small plan
	// shows where on the machine it lies.
	whole bool
	w     float64 // page width
	y     float64 // how far down the page is filled
	pic   *picture
	// toPage maps the scene to the page.
	toPage paths.Affine
	view   paths.Rect // the frame on the page
	// taken are the places on the page that labels may not touch.
	taken []paths.Rect
	// every is the step of the channels shown, 1 for all.
	every int
	// numbered reports whether any stroke has its number beside it.
	numbered bool
	// inked are the strokes and travels on the page, which labels must keep
	// clear of.
	inked []inked
	// widest is the greatest width of a line; 0 until it is asked for.
	widest float64
	meter  *cores.Meter // is told of each stroke
}

// inked is a stroke or a travel on the page. Of many no label comes near, so only those
// that one does become polylines.
type inked struct {
	box  paths.Rect
	line *polyline // nil until it is asked for
}

type polyline struct {
	points []paths.Point
	box    paths.Rect
}

// drawScene lays s out on a page, and tells the meter twice of each stroke.
func drawScene(s Scene, meter *cores.Meter) (*picture, error) {
	s = s.withDefaults()
	if err := s.check(meter); err != nil {
		return nil, err
	}
	l := &layout{scene: s, meter: meter}
	l.frame, l.whole = frameOf(s)
	l.em = emFor(l.frame)
	// Room for the numbers of the channels below and to the left, for a name
	// above.
	l.frame = paths.Rect{
		Min: l.frame.Min.Sub(paths.Point{X: 2.8 * l.em, Y: 2.2 * l.em}),
		Max: l.frame.Max.Add(paths.Point{X: 1.6 * l.em, Y: 1.8 * l.em}),
	}
	l.w = math.Max(l.frame.Width(), pageLeast*l.em) + 2*pagePad*l.em
	l.pic = &picture{w: l.w, title: typeface.Clean(s.Title), desc: l.description()}

	header := l.header()
	l.place()
	drawing := l.drawing()
	labels := l.labels()
	footer := l.footer()
	l.pic.h = l.y + pagePad*l.em
	page := shape{[]paths.Stroke{Outline(paths.RectOf(paths.Point{}, paths.Point{X: l.pic.w, Y: l.pic.h}))}, &look{fill: paper}}
	l.pic.nodes = []node{page, l.underlay(), drawing, labels, header, footer}
	return l.pic, nil
}

// emFor returns the text size for a frame: about a sixtieth of it, so that the
// text of a coaster and of a carpet is equally large in pictures of one size.
func emFor(r paths.Rect) float64 {
	w, h := r.Width(), r.Height()
	return math.Max(0.0165*math.Sqrt(w*h), 0.012*math.Max(w, h))
}

// frameOf returns what the picture shows: the rug and all ink, its backing, the
// machine's reach and the travel. Where the last two would make the rest too
// small it leaves them out, and if need be the backing too; whole is then
// false.
func frameOf(s Scene) (frame paths.Rect, whole bool) {
	rug := s.Rug.Bounds()
	if s.Picture != nil {
		rug = rug.Union(s.Picture.Box)
	}
	for _, k := range s.Ink {
		rug = rug.Union(k.Stroke.Bounds())
	}
	for _, m := range s.Marks {
		rug = rug.Include(m.At)
	}
	for _, n := range s.Notes {
		if n.At != nil {
			rug = rug.Include(*n.At)
		}
	}
	backing := rug.Union(s.Backing.Bounds())
	all := backing.Union(s.Machine.Bounds())
	for _, t := range s.Travel {
		all = all.Union(t.Bounds())
	}
	if all.IsEmpty() {
		for _, w := range s.Weave {
			all = all.Union(paths.RectOf(w.Points...))
		}
	}
	switch {
	case all.IsEmpty():
		return paths.RectOf(paths.Point{}, paths.Point{X: 100, Y: 100}), true
	case backing.IsEmpty() || roomy(backing, all, 1.5) && longEnough(rug, all):
		return atLeast(all, 10), true
	case rug.IsEmpty() || longEnough(rug, backing):
		return atLeast(backing, 10), false
	default:
		return atLeast(rug.Grow(0.2*math.Max(rug.Width(), rug.Height())), 10), false
	}
}

// roomy reports whether length and width of inner are at least those of outer
// over k.
func roomy(inner, outer paths.Rect, k float64) bool {
	return outer.Width() <= k*inner.Width() && outer.Height() <= k*inner.Height()
}

// longEnough reports whether the rug takes up two fifths of the length of the
// frame, so that its lines can be distinguished.
func longEnough(rug, frame paths.Rect) bool {
	return rug.IsEmpty() || math.Max(frame.Width(), frame.Height()) <= 2.5*math.Max(rug.Width(), rug.Height())
}

// atLeast returns r grown about its middle to at least d mm each way, and to be
// at most twenty times as long as wide.
func atLeast(r paths.Rect, d float64) paths.Rect {
	w := math.Max(d, math.Max(r.Width(), r.Height()/20))
	h := math.Max(d, math.Max(r.Height(), r.Width()/20))
	c := r.Centre()
	half := paths.Point{X: w / 2, Y: h / 2}
	return paths.Rect{Min: c.Sub(half), Max: c.Add(half)}
}

// description is the picture in a sentence, for those who do not see it.
func (l *layout) description() string {
	s := "A proof: " + l.sideWords() + "."
	if len(l.scene.Captions) > 0 {
		s += " " + strings.Join(l.captions(), "; ") + "."
	}
	return s
}

func (l *layout) sideWords() string {
	if side := typeface.Clean(l.scene.Side); side != "" {
		return "you are looking at " + side
	}
	return "the side is not said"
}

// captions returns the captions that are not empty.
func (l *layout) captions() []string {
	var out []string
	for _, c := range l.scene.Captions {
		if c = typeface.Clean(c); c != "" {
			out = append(out, c)
		}
	}
	return out
}

// captionLines joins the captions into lines, broken only between captions.
func (l *layout) captionLines() []string {
	const between = " • "
	var lines []string
	for i, c := range l.captions() {
		if last := len(lines) - 1; i > 0 {
			joined := lines[last] + between + c
			if typeface.Width(joined, bodySize*l.em, false) <= l.w-2*pagePad*l.em {
				lines[last] = joined
				continue
			}
		}
		lines = append(lines, c)
	}
	return lines
}

// header sets the title, the side and the captions, and moves down past them.
func (l *layout) header() *group {
	g := &group{id: "header"}
	l.y = pagePad * l.em
	l.paragraph(g, typeface.Clean(l.scene.Title), titleSize, true, darkText, 3)
	if typeface.Clean(l.scene.Side) != "" {
		l.paragraph(g, "You are looking at "+typeface.Clean(l.scene.Side)+".", sideSize, true, blue, 4)
	}
	for _, line := range l.captionLines() {
		l.paragraph(g, line, bodySize, false, quietText, 3)
	}
	l.y += 0.6 * l.em
	return g
}

// paragraph sets text across the page below what is there.
func (l *layout) paragraph(g *group, s string, size float64, bold bool, colour string, maxLines int) {
	size *= l.em
	x := pagePad * l.em
	for _, line := range typeface.Wrap(s, size, bold, (l.w-2*x)/typeface.Spare, maxLines) {
		l.y += leading * size
		g.add(words{at: paths.Point{X: x, Y: l.y - (leading-typeface.Ascent)/2*size}, text: line, size: size, bold: bold, colour: colour})
	}
}

// place puts the frame below what is there, in the middle of the page.
func (l *layout) place() {
	left := (l.w - l.frame.Width()) / 2
	l.toPage = paths.Affine{A: 1, D: -1, E: left - l.frame.Min.X, F: l.y + l.frame.Max.Y}
	l.view = paths.RectOf(l.toPage.Apply(l.frame.Min), l.toPage.Apply(l.frame.Max))
	l.y = l.view.Max.Y
	l.inked = make([]inked, 0, len(l.scene.Ink)+len(l.scene.Travel))
	for _, k := range l.scene.Ink {
		l.inked = append(l.inked, inked{box: l.boxOnPage(k.Stroke.Bounds())})
		l.meter.Add(1)
	}
	for _, t := range l.scene.Travel {
		l.inked = append(l.inked, inked{box: l.boxOnPage(t.Bounds())})
	}
}

// boxOnPage returns a box of the scene on the page.
func (l *layout) boxOnPage(r paths.Rect) paths.Rect {
	if r.IsEmpty() {
		return r
	}
	return paths.RectOf(l.toPage.Apply(r.Min), l.toPage.Apply(r.Max))
}

// inkedLine returns a stroke or a travel of the scene on the page, by its place in l.inked.
func (l *layout) inkedLine(i int) polyline {
	if l.inked[i].line == nil {
		var s paths.Stroke
		if n := len(l.scene.Ink); i < n {
			s = l.scene.Ink[i].Stroke
		} else {
			s = paths.Stroke{l.scene.Travel[i-n]}
		}
		line := l.onPage(s)
		l.inked[i].line = &line
	}
	return *l.inked[i].line
}

// onPage returns s as a polyline on the page, near enough for labels.
func (l *layout) onPage(s paths.Stroke) polyline {
	line := s.Flatten(0.05 * l.em) // toPage keeps lengths
	for i, p := range line {
		line[i] = l.toPage.Apply(p)
	}
	return polyline{line, paths.RectOf(line...)}
}
