package scan

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan/areas"
	"weftplot/paths/scan/paper"
	"weftplot/paths/scan/raster"
	"weftplot/paths/scan/skeleton"
	"weftplot/paths/scan/tint"
	"weftplot/paths/scan/upright"
)

// Options say how a page is traced. The zero value works.
type Options struct {
	// Deskew turns the drawing by its own long lines until they are square to
	// the sheet, and then squares those that are nearly so.
	Deskew bool
	// LineMM is the width of the drawn line in mm; 0 means that it is measured.
	LineMM float64
	// KeepRulings keeps what the sheet is printed with: rulings all over, such as
	// squares, and a letterhead.
	KeepRulings bool
}

// Tracing is the line work of a page.
type Tracing struct {
	// Strokes are in mm, y up, the lower left corner of the page at the origin.
	Strokes []paths.Stroke
	// Inks are the names of the inks that the strokes are drawn with, such as "red",
	// where the page has tints; nil where not.
	Inks []string
	// LineMM is the width of the drawn lines in mm, as measured or as given.
	LineMM float64
	// TurnedDeg is how far the drawing was turned to lie square, in degrees
	// counter-clockwise; 0 without Deskew.
	TurnedDeg float64
	// Unturned is true where Deskew found nothing to go by, and changed nothing.
	Unturned bool
	// Ruling says what the sheet is printed with, such as "squared paper, 5.0 mm",
	// where that was left out.
	Ruling string
	// OddRuling is true where no usual paper has such a ruling: the size is in doubt.
	OddRuling bool
	// Holes is how many punched holes were left out.
	Holes int
	// Print is how many strokes of a printed letterhead were left out.
	Print int
	// WidthFrom are the places at the left and at the right that the width of the
	// drawing was taken from, where that was given.
	WidthFrom *[2]paths.Point
	// Around is the share of the picture that lies round the sheet, such as a table
	// or the dark edge of a copy, and was left out.
	Around float64
	// Finds list what was changed and what is uncertain, from the top of the
	// page down.
	Finds []Find
}

// Transform returns the tracing with its strokes and finds under the map m. The
// width of the line and the turn stay as they are.
func (t Tracing) Transform(m paths.Affine) Tracing {
	strokes, finds := t.Strokes, t.Finds
	t.Strokes, t.Finds = nil, nil
	for _, s := range strokes {
		t.Strokes = append(t.Strokes, s.Transform(m))
	}
	for _, f := range finds {
		f.At, f.Stroke = m.Apply(f.At), f.Stroke.Transform(m)
		t.Finds = append(t.Finds, f)
	}
	return t
}

// Notes are sentences about what was left out of the page as a whole, and what its size
// was taken from.
func (t Tracing) Notes() []string {
	var out []string
	if t.Ruling != "" {
		out = append(out, "The sheet is "+t.Ruling+": its print was left out; [keep-rulings] keeps it.")
	}
	if t.OddRuling {
		out = append(out, "Paper ruled so is unusual, so the size is in doubt: phones make up the pixels an inch of a photo. Measure the drawing and give its [width].")
	}
	if t.Around >= 0.002 {
		out = append(out, fmt.Sprintf("What lies round the sheet, %.0f %% of the picture, was left out.", max(1, 100*t.Around)))
	}
	if t.Holes > 0 {
		out = append(out, fmt.Sprintf("%d rings at a side of the sheet lie as punched holes do: they were left out.", t.Holes))
	}
	if t.Print > 0 {
		out = append(out, fmt.Sprintf("%d small marks at the head or the foot of the sheet stand on straight lines as print does: they were left out; [keep-rulings] keeps them.", t.Print))
	}
	if t.Unturned {
		out = append(out, "Nothing was turned or squared: no two long sides of the drawing agree on what is level.")
	}
	if w := t.WidthFrom; w != nil {
		out = append(out, fmt.Sprintf("The width was taken from the lines at %.1f, %.1f and at %.1f, %.1f mm.", w[0].X, w[0].Y, w[1].X, w[1].Y))
	}
	return out
}

// FindKind is the kind of a [Find].
type FindKind int

const (
	// GapBridged is a break in a line that was drawn through.
	GapBridged FindKind = iota + 1
	// SpurRemoved is a short whisker of a line that was left out.
	SpurRemoved
	// SpeckRemoved is a dark spot too small or too pale to be drawn.
	SpeckRemoved
	// BlobOutlined is an area too wide for a line, drawn by its outline.
	BlobOutlined
	// Doubtful is a place that a person should check.
	Doubtful
)

// Find is something about the page that a person should know of.
type Find struct {
	Kind FindKind // what it is
	// At is where, in the frame of the strokes.
	At paths.Point
	// Stroke is the line or gap that the find is about; it may be empty.
	Stroke paths.Stroke
	// Message is a sentence for a person.
	Message string
	// LengthMM is how much ink it is about: the longer, the more it matters.
	LengthMM float64
}

// Trace finds the lines of a page.
//
// The light is evened out, ink is separated from paper, and the ink is thinned
// to lines a pixel wide. This is done twice: the first time to measure the
// width of the line, on which the later steps depend. The thinned lines become
// a graph; breaks in them are bridged, spurs removed, and junctions rebuilt
// from the lines that lead up to them. Then each line is moved to the middle of
// its ink and drawn with few lines, arcs and cubics.
//
// A page without lines gives no strokes and no error. A page that cannot be one
// of line work gives a [*fault.Error].
func Trace(p raster.Page, opt Options) (Tracing, error) {
	if err := check(p, opt); err != nil {
		return Tracing{}, err
	}
	if err := checkInk(p); err != nil {
		return Tracing{}, err
	}
	p, around := paper.WithoutSurroundings(p)
	flat, ruling := evened(p, skeleton.CellMM, opt)
	size := scaleOf(flat, p.MM)
	if cell := 2.5 * size.widthMM; cell > 1.5*skeleton.CellMM {
		// A line as wide as a cell passes for paper.
		flat, ruling = evened(p, cell, opt)
		size = scaleOf(flat, p.MM)
	}
	if size.widthMM == 0 {
		return Tracing{}, checkBare(flat)
	}
	width := size.widthMM / p.MM
	if opt.LineMM > 0 {
		width = opt.LineMM / p.MM
	}
	t := tracer{flat: skeleton.Blur(flat, size.grainMM/p.MM), mm: p.MM, width: max(2, width), grainy: size.grainMM > 0}
	if err := t.findAgain(opt.LineMM > 0); err != nil {
		return Tracing{}, err
	}
	t.out.Around = around
	if ruling != nil {
		t.out.Ruling, t.out.OddRuling = ruling.String(), !ruling.IsUsual()
	}
	t.out.dropHoles(float64(p.W)*p.MM, float64(p.H)*p.MM)
	if !opt.KeepRulings {
		t.out.dropPrint(float64(p.H) * p.MM)
	}
	if p.Tints != nil {
		t.out.divide(p, flat)
	}
	if opt.Deskew {
		t.out.deskew(paths.Point{X: float64(p.W) * p.MM / 2, Y: float64(p.H) * p.MM / 2})
	}
	return t.out, nil
}

// findAgain traces the page up to four times. The width was an estimate, unless it is
// given: if it was far off, the page is traced again, and once more by the rim of wide
// lines.
func (t *tracer) findAgain(given bool) error {
	for try := range 4 {
		t.out = Tracing{}
		breadth, err := t.find()
		if err != nil || try == 3 {
			return err
		}
		switch wide := !t.grainy && breadth*t.mm > wideMM; {
		case !given && (breadth > 1.3*t.width || breadth < 0.7*t.width):
			t.width = max(2, 1.1*breadth)
		case wide && t.breadth == 0:
			t.breadth = breadth
			if !given {
				t.width = breadth
			}
		default:
			return nil
		}
	}
	return nil
}

// deskew turns the drawing about a place until its long lines are parallel to the sides
// of the sheet, and squares the lines that then nearly are.
func (t *Tracing) deskew(about paths.Point) {
	a, ok := upright.Turn(t.Strokes)
	if !ok {
		t.Unturned = true
		return
	}
	t.TurnedDeg = -a / degree
	m := paths.Translate(about.Mul(-1)).Then(paths.Rotate(-a)).Then(paths.Translate(about))
	*t = t.Transform(m)
	upright.Square(t.Strokes)
}

// dropHoles takes out what a punch made in a sheet of w by h mm.
func (t *Tracing) dropHoles(w, h float64) {
	holes := paper.Holes(t.Strokes, w, h)
	t.Holes = len(holes)
	for _, i := range holes {
		box := t.Strokes[i].Bounds()
		t.Finds = slices.DeleteFunc(t.Finds, func(f Find) bool { return f.Kind == BlobOutlined && box.Contains(f.At) })
		t.Strokes[i] = nil
	}
	t.Strokes = slices.DeleteFunc(t.Strokes, func(s paths.Stroke) bool { return s == nil })
}

// dropPrint takes out the print at the head and the foot of a sheet h mm high, and what
// was found about it.
func (t *Tracing) dropPrint(h float64) {
	letters := paper.Letterhead(t.Strokes, h)
	t.Print = len(letters)
	for _, i := range letters {
		box := t.Strokes[i].Bounds().Grow(1)
		t.Finds = slices.DeleteFunc(t.Finds, func(f Find) bool { return box.Contains(f.At) })
		t.Strokes[i] = nil
	}
	t.Strokes = slices.DeleteFunc(t.Strokes, func(s paths.Stroke) bool { return s == nil })
}

// divide cuts the strokes where their ink changes, and says which ink each has. flat is
// the page in even light.
func (t *Tracing) divide(p raster.Page, flat skeleton.Plane) {
	k := ink{p: flat}
	dark := func(at paths.Point) float64 {
		q := paths.Point{X: at.X/p.MM - 0.5, Y: float64(p.H) - 0.5 - at.Y/p.MM}
		return k.dark(q) / skeleton.Paper
	}
	t.Strokes, t.Inks = tint.Divide(t.Strokes, tint.Plane{W: p.W, H: p.H, Tints: p.Tints, MM: p.MM}, t.LineMM, dark)
}

// evened returns the page in even light, without its ruling.
func evened(p raster.Page, cellMM float64, opt Options) (skeleton.Plane, *paper.Ruling) {
	flat := skeleton.EvenLight(p, cellMM)
	if opt.KeepRulings {
		return flat, nil
	}
	return flat, paper.Unruled(flat, p.MM)
}

// maxPixels bounds a page: an A2 sheet at 600 dots to the inch.
const maxPixels = 150e6

func check(p raster.Page, opt Options) error {
	switch {
	case p.W < 1 || p.H < 1 || len(p.Light) != p.W*p.H || p.Tints != nil && len(p.Tints) != p.W*p.H:
		return fault.Bad("", "scan the drawing again", "the picture of %d by %d pixels comes with %d", p.W, p.H, len(p.Light))
	case p.W*p.H > maxPixels:
		return fault.Bad("", "scan at 300 dots to the inch", "the picture of %d by %d pixels is too large", p.W, p.H)
	case !(p.MM > 0) || math.IsInf(p.MM, 0):
		return fault.Bad("", "say how large the drawing is", "a pixel of %v mm is no size", p.MM)
	case !(opt.LineMM >= 0) || opt.LineMM > 20:
		return fault.Bad("", "measure the line on the drawing", "a line %v mm wide is no line", opt.LineMM)
	}
	return nil
}

// checkInk refuses a page that is dark all over.
func checkInk(p raster.Page) error {
	var sum int
	for _, g := range p.Light {
		sum += int(g)
	}
	if mean := sum / len(p.Light); mean < 40 {
		return fault.Bad("", "give it more light, or turn it from light on dark to dark on light", "the picture is nearly black")
	}
	return nil
}

// rough returns the error of a page whose ink does not form lines.
func rough(format string, args ...any) error {
	return fault.Bad("", "scan it softer or at fewer dots to the inch, from a clean glass", format, args...)
}

// checkBare refuses a page that has no lines and yet is not blank.
func checkBare(flat skeleton.Plane) error {
	n := 0
	for _, v := range flat.Pixels {
		if v < skeleton.Black {
			n++
		}
	}
	if share := float64(n) / float64(len(flat.Pixels)); share > 0.005 {
		return rough("%.1f %% of the picture is dark, but no lines", 100*share)
	}
	return nil
}

// maxSpecks is how many specks a page may have.
const maxSpecks = 20_000

// tracer is the tracing of one page. Its out is in pixels until the end.
type tracer struct {
	flat      skeleton.Plane
	mm, width float64
	grainy    bool    // its lines are grains until they are blurred
	breadth   float64 // of wide lines whose rim is used, in pixels
	out       Tracing
}

// What evens out a line grows with its width where paper's tooth shows. Otherwise it is
// bounded, since a wide marker leaves narrow openings that are no holes in a line: the
// deviation of a blur in mm, and the area of a hole in square mm.
const (
	evenMM  = 0.25
	holeMM2 = 0.8
)

// even bounds a measure in pixels where lines have no grain.
func (t *tracer) even(measure, mostMM float64) float64 {
	if t.grainy {
		return measure
	}
	return min(measure, mostMM/t.mm)
}

// find traces the page, given an estimate of the line's width, and returns the
// measured width in pixels.
func (t *tracer) find() (breadth float64, err error) {
	soft := skeleton.Blur(t.flat, t.even(0.165*t.width, evenMM))
	mask := skeleton.Threshold(soft, reachOf(t.mm, t.width*t.mm), 0.2, 0.09)
	if err := checkMask(mask); err != nil {
		return 0, err
	}
	_, list := skeleton.Components(mask, soft, skeleton.Inked, true)
	k := ink{p: t.flat, width: t.width, level: skeleton.InkLevel(list, t.width)}
	dots, specks, pale := skeleton.Despeckle(mask, soft, t.width, 0.35/(t.mm*t.mm))
	if len(specks) > maxSpecks {
		return 0, rough("the picture has %d specks", len(specks))
	}
	skeleton.FillHoles(mask, soft, t.even(0.4*t.width*t.width, holeMM2/t.mm), k.level)
	d := skeleton.DistancesIn(mask)
	if t.breadth > 0 {
		k.rim = rimOf(mask, k, t.breadth, t.mm)
	}
	b := blobsIn(mask, d, t.width)
	inked := areas.PlanOf(mask, t.width, roomyMM/t.mm)
	skeleton.Thin(mask, skeleton.LuWang)
	skeleton.UnitWidth(mask)
	g := skeleton.GraphOf(mask, d)
	g.CloseSlits(t.width)
	gaps := g.Bridge(skeleton.BridgeMM/t.mm, t.width)
	spurs := g.Prune(t.width)
	w := rebuild(g, k)
	breadth = w.breadth()
	draft := drafter{k: k, b: b, breadth: breadth, tol: max(0.045/t.mm, 0.02*t.width)}
	if k.rim != nil {
		// The rim tells the middle of a wide line as finely as ink does that of a thin one.
		draft.k.width = fineMM / t.mm
		draft.tol = 0.045 / t.mm
	}
	for _, c := range w.chains() {
		c, what := k.dropShadows(c)
		s := draft.stroke(c)
		if len(s) == 0 || t.leaves(s, what) {
			continue
		}
		t.out.Strokes = append(t.out.Strokes, s)
	}
	for _, o := range b.outlines(k) {
		if s := draft.stroke(chain{[]run{{pts: o}}, true}); len(s) > 0 {
			t.out.Strokes = append(t.out.Strokes, s)
			t.found(BlobOutlined, s.Bounds().Centre(), s, "an area too wide for a line is drawn by its outline")
		}
	}
	t.weld(k, len(gaps))
	t.listOpen(inked, len(gaps))
	t.listUndrawn(mask, pale)
	for _, p := range g.Dots {
		t.out.Strokes = append(t.out.Strokes, paths.Polyline(p))
	}
	for _, p := range dots {
		t.out.Strokes = append(t.out.Strokes, paths.Polyline(p.Middle()))
	}
	t.note(specks, gaps, spurs)
	t.place(breadth)
	return breadth, nil
}

// leaves reports whether a stroke is left out, and lists what is doubtful. What is left
// out and too short to matter is not listed: where it opens an area, that is.
func (t *tracer) leaves(s paths.Stroke, what verdict) bool {
	told := s.Length() > undrawnWidths*t.width
	switch {
	case what == isTone && told:
		t.found(Doubtful, s.Bounds().Centre(), s, "a tone that ends here, and no line, was left out")
	case what == isFaint && told:
		t.found(Doubtful, s.Bounds().Centre(), s, "a mark hardly darker than the paper beside it was left out")
	case what == isPale:
		t.found(Doubtful, s.Bounds().Centre(), s, "a line much paler than the others: is it one?")
	}
	return what == isTone || what == isFaint
}

// mostInk is how much of a page of lines may be inked.
const mostInk = 0.3

// checkMask refuses a page with more ink than lines would have.
func checkMask(mask skeleton.Plane) error {
	n := 0
	for _, v := range mask.Pixels {
		if v == skeleton.Strong {
			n++
		}
	}
	if share := float64(n) / float64(len(mask.Pixels)); share > mostInk {
		return fault.Bad("", "scan a drawing of lines on plain paper", "%.0f %% of the picture is dark, too much for lines", 100*share)
	}
	return nil
}

// note lists what was done.
func (t *tracer) note(specks []skeleton.Component, gaps [][2]paths.Point, spurs []paths.Point) {
	for _, p := range specks {
		t.found(SpeckRemoved, p.Middle(), nil, "a speck too small or too pale for a line was left out")
	}
	for _, g := range gaps {
		t.found(GapBridged, g[0].Lerp(g[1], 0.5), paths.Polyline(g[0], g[1]), "a break in a line was drawn through")
	}
	for _, p := range spurs {
		t.found(SpurRemoved, p, nil, "a whisker at the side of a line was left out")
	}
}

// found records a find.
func (t *tracer) found(kind FindKind, at paths.Point, s paths.Stroke, message string) {
	t.out.Finds = append(t.out.Finds, Find{kind, at, s, message, paths.LengthOf([]paths.Stroke{s}) * t.mm})
}

// place moves everything to the frame of the page.
func (t *tracer) place(breadth float64) {
	m := paths.Affine{A: t.mm, D: -t.mm, E: t.mm / 2, F: (float64(t.flat.H) - 0.5) * t.mm}
	t.out = t.out.Transform(m)
	t.out.LineMM = breadth * t.mm
	t.out.Finds = grouped(t.out.Finds)
}
