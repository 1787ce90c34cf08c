package bench

import (
	"errors"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan"
	"weftplot/paths/scan/raster"
	"weftplot/paths/svg"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

// scanned is what was read from a scan or a photo, kept so that lines can be
// dropped and gaps closed.
type scanned struct {
	name    string
	page    raster.Page
	tracing scan.Tracing
	report  report.ScanReport
	data    []byte // the picture, to be read again for another width
	asked   askedOfPaper
	design  []byte     // SVG
	edits   []edit     // what a person changed, in order
	gaps    []scan.Gap // that are left, the narrowest first
}

// edit is a line of the tracing that was struck out, or a gap that was closed.
type edit struct {
	struck int          // place in the tracing; -1 for a gap
	bridge paths.Stroke // the line that closes the gap
}

// askedOfPaper is what a person said of the size of the drawing on its paper;
// both may be empty.
type askedOfPaper struct {
	Width string `json:"width"`
	Sheet string `json:"sheet"`
}

// options puts what was said into the reader's terms.
func (a askedOfPaper) options() (opt raster.Options, err error) {
	if a.Sheet != "" {
		if opt.Sheet, err = raster.ParseSheet(a.Sheet); err != nil {
			return opt, fault.At("paper", err)
		}
	}
	if a.Width != "" {
		l, err := paths.ParseLength(a.Width)
		if err == nil && l <= 0 {
			err = fault.Bad("", "give the width of the drawing on the paper", "a drawing %s wide is not possible", a.Width)
		}
		if err != nil {
			return opt, fault.At("width on the paper", err)
		}
		opt.WidthMM = float64(l)
	}
	return opt, nil
}

// assumed is how wide a drawing on paper is taken to be that does not say and
// was not measured, mm: a sheet of writing paper less its margins. Only what
// counts as a speck or a gap hangs on it; the rug has a size of its own.
const assumed = 180

// readPicture finds the lines in a picture.
func readPicture(name string, data []byte, asked askedOfPaper) (*scanned, error) {
	opt, err := asked.options()
	if err != nil {
		return nil, err
	}
	page, src, err := raster.Decode(name, data, opt)
	if err != nil && asked == (askedOfPaper{}) && fault.Request(err) != nil {
		guess := opt
		guess.WidthMM = assumed
		if p, s, e := raster.Decode(name, data, guess); e == nil {
			page, src, opt, err = p, s, guess, nil
			src.Notes = append(slices.Clone(src.Notes), "the file does not say how large the drawing is on its paper; it is taken as 18 cm wide until you say")
		}
	}
	if err != nil {
		return nil, err
	}
	page, t, err := scan.Read(page, src, opt.WidthMM, scan.Options{})
	if err != nil {
		var f *fault.Error
		if errors.As(err, &f) && f.Where == "" {
			err = fault.At(name, err)
		}
		return nil, err
	}
	if len(t.Strokes) == 0 {
		return nil, fault.Bad(name, "check that the picture shows the drawing, dark on light", "no lines were found in the picture")
	}
	out := &scanned{name: name, data: data, asked: asked, page: page, tracing: t, report: report.SummarizeScan(name, page, src, t, report.Options{Names: labelOf})}
	return out, out.draw()
}

// left returns the tracing with what a person changed of it.
func (s *scanned) left() scan.Tracing {
	t := s.tracing
	t.Strokes = nil
	for i, k := range s.tracing.Strokes {
		if !s.struck(i) {
			t.Strokes = append(t.Strokes, k)
		}
	}
	for _, e := range s.edits {
		if e.struck < 0 {
			t.Strokes = append(t.Strokes, e.bridge)
		}
	}
	return t
}

// struck reports whether a line of the tracing was struck out.
func (s *scanned) struck(i int) bool {
	return slices.ContainsFunc(s.edits, func(e edit) bool { return e.struck == i })
}

// widest is the widest gap that is offered to be closed, mm on the paper, and
// manyGaps how many are listed.
const (
	widest   = 15
	manyGaps = 30
)

// closed returns the scan with the gap closed whose middle is nearest to a place.
func (s *scanned) closed(at paths.Point) (*scanned, error) {
	best, far := -1, 1.0 // mm
	for i, g := range s.gaps {
		if d := g.From.Lerp(g.To, 0.5).Dist(at); d < far {
			best, far = i, d
		}
	}
	if best < 0 {
		return nil, fault.Bad("", "choose one from the list", "there is no such gap")
	}
	return s.edited(edit{struck: -1, bridge: s.gaps[best].Bridge()})
}

// edited returns the scan with one more change.
func (s *scanned) edited(e edit) (*scanned, error) {
	out := *s
	out.edits = append(slices.Clone(s.edits), e)
	if len(out.left().Strokes) == 0 {
		return nil, fault.Bad("", "keep one line at least", "nothing would be left to draw")
	}
	return &out, out.draw()
}

// draw makes the design of what is left, and lists its gaps.
func (s *scanned) draw() error {
	t := s.left()
	found := scan.Gaps(t.Strokes, widest)
	s.gaps = found[:min(len(found), manyGaps)]
	d, err := scan.DesignOf(s.name, s.page, t)
	if err == nil {
		s.design = svg.Write(d)
	}
	return err
}

// without returns the scan with a line struck out, the one nearest to a place on
// the paper, within reach mm.
func (s *scanned) without(at paths.Point, reach float64) (*scanned, error) {
	best, far := -1, reach
	for i, k := range s.tracing.Strokes {
		if s.struck(i) {
			continue
		}
		pts := k.Flatten(0.5)
		for n := range pts {
			if d := (paths.Line{A: pts[max(0, n-1)], B: pts[n]}).Dist(at); d < far {
				best, far = i, d
			}
		}
	}
	if best < 0 {
		return nil, fault.Bad("", "press nearer to a line", "no line lies there")
	}
	return s.edited(edit{struck: best})
}

// again returns the scan without the last change.
func (s *scanned) again() (*scanned, error) {
	out := *s
	if n := len(s.edits); n > 0 {
		out.edits = slices.Clone(s.edits[:n-1])
	}
	return &out, out.draw()
}

// picture is the paper with the lines found on it, in our own writer's SVG.
func (s *scanned) picture() ([]byte, error) {
	return proof.SVG(report.ScanScene(s.report, s.page, s.left()))
}
