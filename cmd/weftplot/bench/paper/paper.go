// Package paper holds what was read from a scan or a photo of a drawing, and what
// a person changed of it: lines struck out, gaps closed, ends joined.
package paper

import (
	"errors"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/scan"
	"weftplot/paths/scan/linework"
	"weftplot/paths/scan/raster"
	"weftplot/paths/svg"
	"weftplot/plot/proof"
	"weftplot/plot/report"
)

// Scan is what was read from a scan or a photo, kept so that lines can be
// dropped and gaps closed.
type Scan struct {
	Name    string // of the picture
	page    raster.Page
	tracing scan.Tracing
	Report  report.ScanReport
	Data    []byte         // the picture, to be read again for another width
	Asked   Asked          // what was said of it
	Guessed bool           // nobody said how large the drawing is on its paper, and it was not measured
	Design  []byte         // SVG
	edits   []edit         // what a person changed, in order
	Gaps    []linework.Gap // that are left, the narrowest first
}

// edit is a line of the tracing that was struck out, or a gap that was closed.
type edit struct {
	struck int          // place in the tracing; -1 for a gap
	bridge paths.Stroke // the line that closes the gap
}

// Asked is what a person said of the size of the drawing on its paper;
// both may be empty. Page is the page that is read of a file that has several, 0
// for the first. Corners are those of the sheet in a photo, in pixels from its upper left
// corner, y down; none where they are looked for.
type Asked struct {
	Width   string       `json:"width"`
	Sheet   string       `json:"sheet"`
	Page    int          `json:"page"`
	Corners [][2]float64 `json:"corners,omitempty"`
}

// options puts what was said into the reader's terms.
func (a Asked) options() (opt raster.Options, err error) {
	opt.Page = a.Page
	for _, c := range a.Corners {
		opt.Corners = append(opt.Corners, paths.Point{X: c[0], Y: c[1]})
	}
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

// Read finds the lines in a picture.
func Read(name string, data []byte, asked Asked, names func(setting string) string) (*Scan, error) {
	opt, err := asked.options()
	if err != nil {
		return nil, err
	}
	page, src, err := raster.Decode(name, data, opt)
	guessed := false
	if err != nil && asked.Width == "" && asked.Sheet == "" && fault.Request(err) != nil {
		guess := opt
		guess.WidthMM = assumed
		if p, s, e := raster.Decode(name, data, guess); e == nil {
			page, src, opt, err, guessed = p, s, guess, nil, true
			src.Notes = append(slices.Clone(src.Notes), "the file does not say how large the drawing is on its paper; it is taken as 18 cm wide until you say")
		}
	}
	if err != nil {
		return nil, err
	}
	page, t, err := linework.Read(page, src, opt.WidthMM, scan.Options{})
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
	out := &Scan{Name: name, Data: data, Asked: asked, Guessed: guessed, page: page, tracing: t, Report: report.SummarizeScan(name, page, src, t, report.Options{Names: names})}
	return out, out.draw()
}

// Edits returns how many changes a person made.
func (s *Scan) Edits() int { return len(s.edits) }

// Left returns the tracing with what a person changed of it.
func (s *Scan) Left() scan.Tracing {
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
func (s *Scan) struck(i int) bool {
	return slices.ContainsFunc(s.edits, func(e edit) bool { return e.struck == i })
}

// widest is the widest gap that is offered to be closed, mm on the paper, and
// manyGaps how many are listed.
const (
	widest   = 15
	manyGaps = 30
)

// Closed returns the scan with the gap closed whose middle is nearest to a place.
func (s *Scan) Closed(at paths.Point) (*Scan, error) {
	best, far := -1, 1.0 // mm
	for i, g := range s.Gaps {
		if d := g.From.Lerp(g.To, 0.5).Dist(at); d < far {
			best, far = i, d
		}
	}
	if best < 0 {
		return nil, fault.Bad("", "choose one from the list", "there is no such gap")
	}
	return s.edited(edit{struck: -1, bridge: s.Gaps[best].Bridge()})
}

// Joined returns the scan with a line between two ends of lines, those nearest to
// two places on the paper, within reach mm of them.
func (s *Scan) Joined(a, b paths.Point, reach float64) (*Scan, error) {
	from, ok := s.end(a, reach, nil)
	if !ok {
		return nil, fault.Bad("", "press nearer to where a line ends", "no line ends at the first place")
	}
	to, ok := s.end(b, reach, &from)
	if !ok {
		return nil, fault.Bad("", "press nearer to where a line ends", "no other line ends at the second place")
	}
	return s.edited(edit{struck: -1, bridge: linework.Gap{From: from, To: to}.Bridge()})
}

// end returns the end of a line that is nearest to a place, within reach mm, and
// is not the one that is left out. A closed line has no ends.
func (s *Scan) end(at paths.Point, reach float64, but *paths.Point) (paths.Point, bool) {
	best, far := at, reach
	found := false
	for _, k := range s.Left().Strokes {
		if k.IsClosed() {
			continue
		}
		for _, p := range []paths.Point{k.Start(), k.End()} {
			if d := p.Dist(at); d < far && (but == nil || p != *but) {
				best, far, found = p, d, true
			}
		}
	}
	return best, found
}

// edited returns the scan with one more change.
func (s *Scan) edited(e edit) (*Scan, error) {
	out := *s
	out.edits = append(slices.Clone(s.edits), e)
	if len(out.Left().Strokes) == 0 {
		return nil, fault.Bad("", "keep one line at least", "nothing would be left to draw")
	}
	return &out, out.draw()
}

// draw makes the design of what is left, and lists its gaps.
func (s *Scan) draw() error {
	t := s.Left()
	found := linework.Gaps(t.Strokes, widest)
	s.Gaps = found[:min(len(found), manyGaps)]
	d, err := linework.DesignOf(s.Name, s.page, t)
	if err == nil {
		s.Design = svg.Write(d)
	}
	return err
}

// Without returns the scan with a line struck out, the one nearest to a place on
// the paper, within reach mm.
func (s *Scan) Without(at paths.Point, reach float64) (*Scan, error) {
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

// Again returns the scan without the last change.
func (s *Scan) Again() (*Scan, error) {
	out := *s
	if n := len(s.edits); n > 0 {
		out.edits = slices.Clone(s.edits[:n-1])
	}
	return &out, out.draw()
}

// Picture is the paper with the lines found on it, in our own writer's SVG.
func (s *Scan) Picture() ([]byte, error) {
	return proof.SVG(report.ScanScene(s.Report, s.page, s.Left()))
}
