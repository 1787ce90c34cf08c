package scan

import (
	"slices"
	"weftplot/paths"
	"weftplot/paths/scan/areas"
	"weftplot/paths/scan/skeleton"
)

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

// grainWidths is the greatest size of a grain, in widths of the line.
const grainWidths = 2

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
	for _, c := range append(slices.Clip(specks), pale...) {
		// Grains of a faint line close an area too.
		if float64(c.Size()) < grainWidths*t.width {
			inked.Ink(c)
		}
	}
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
	for _, d := range draft.all(w.chains(), k) {
		if len(d.s) > 0 && !t.leaves(d.s, d.what) {
			t.out.Strokes = append(t.out.Strokes, d.s)
		}
	}
	t.outline(b, k, draft)
	t.weld(k, len(gaps))
	shuts := t.shuts(len(gaps))
	t.closeLeaks(inked, k, shuts[0])
	t.listOpen(inked, k, shuts)
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

// outline draws areas that are too wide for lines by their outlines.
func (t *tracer) outline(b blobs, k ink, draft drafter) {
	for _, o := range b.outlines(k) {
		if s := draft.stroke(chain{[]run{{pts: o}}, true}); len(s) > 0 {
			t.out.Strokes = append(t.out.Strokes, s)
			t.found(BlobOutlined, s.Bounds().Centre(), s, "an area too wide for a line is drawn by its outline")
		}
	}
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
