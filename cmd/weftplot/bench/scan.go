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
	design  []byte // SVG
	dropped []int  // strokes of the tracing that a person struck out
}

// askedOfPaper is what a person said of the size of the drawing on its paper;
// both may be empty.
type askedOfPaper struct{ Width, Sheet string }

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
	var t scan.Tracing
	if opt.WidthMM > 0 {
		page, t, err = scan.TraceToWidth(page, opt.WidthMM, scan.Options{})
	} else {
		t, err = scan.Trace(page, scan.Options{})
	}
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
	out := &scanned{name: name, page: page, tracing: t, report: report.SummarizeScan(name, page, src, t, report.Options{Names: labelOf})}
	return out, out.draw()
}

// left returns the tracing less what was struck out.
func (s *scanned) left() scan.Tracing {
	t := s.tracing
	t.Strokes = nil
	for i, k := range s.tracing.Strokes {
		if !slices.Contains(s.dropped, i) {
			t.Strokes = append(t.Strokes, k)
		}
	}
	return t
}

// draw makes the design of what is left.
func (s *scanned) draw() error {
	d, err := scan.DesignOf(s.name, s.page, s.left())
	if err == nil {
		s.design = svg.Write(d)
	}
	return err
}

// without returns the scan with a line struck out, the one nearest to a place on
// the paper, within reach mm; undone, when n is negative, for the last one.
func (s *scanned) without(at paths.Point, reach float64) (*scanned, error) {
	best, far := -1, reach
	for i, k := range s.tracing.Strokes {
		if slices.Contains(s.dropped, i) {
			continue
		}
		for _, p := range k.Flatten(0.5) {
			if d := p.Dist(at); d < far {
				best, far = i, d
			}
		}
	}
	if best < 0 {
		return nil, fault.Bad("", "press nearer to a line", "no line lies there")
	}
	out := *s
	out.dropped = append(slices.Clone(s.dropped), best)
	if len(out.dropped) == len(s.tracing.Strokes) {
		return nil, fault.Bad("", "keep one line at least", "nothing would be left to draw")
	}
	return &out, out.draw()
}

// again returns the scan with the line back that was struck out last.
func (s *scanned) again() (*scanned, error) {
	out := *s
	if n := len(s.dropped); n > 0 {
		out.dropped = slices.Clone(s.dropped[:n-1])
	}
	return &out, out.draw()
}

// picture is the paper with the lines found on it, in our own writer's SVG.
func (s *scanned) picture() ([]byte, error) {
	return proof.SVG(report.ScanScene(s.report, s.page, s.left()))
}
