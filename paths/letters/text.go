package letters

import (
	"fmt"
	"math"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/join"
	"weftplot/paths/warp"
	"weftplot/paths/weave"
)

// pitch returns how many rows apart the base lines of a text are, the same for
// all lines.
func (s *setter) pitch() int {
	down, up := 0., float64(s.Height)
	for i, l := range s.lines {
		for _, p := range l {
			low := float64(p.profile.first) / bands
			if i < len(s.lines)-1 {
				down = max(down, -low)
			}
			if i > 0 {
				up = max(up, low+float64(len(p.profile.left))/bands)
			}
		}
	}
	gap := s.LineGap
	if gap == 0 {
		gap = part(s.Height, 0.25, 2)
	}
	return int(math.Ceil(down)) + int(math.Ceil(up-1./bands)) + gap + 1
}

// text draws the lines that have been placed.
func (s *setter) text() (Text, error) {
	t := Text{OnWeave: s.Arc == 0, Notes: s.notes, grid: s.Grid}
	pitch := 0
	if len(s.lines) > 1 {
		pitch = s.pitch()
	}
	width := float64(s.width())
	for i, l := range s.lines {
		base := bent{grid: s.Grid, said: s.Said, along: float64(-i * pitch), middle: width / 2}
		if s.Arc != 0 {
			base.radius = s.Arc - float64(i*pitch)*s.Grid.Along
			if err := base.room(l, s.Arc); err != nil {
				return Text{}, err
			}
		}
		for j := 0; j < len(l); {
			n := 1
			for j+n < len(l) && l[j+n].joins {
				n++
			}
			if err := s.run(&t, l[j:j+n], i, base); err != nil {
				return Text{}, err
			}
			j += n
		}
	}
	t.Lifts = len(t.Strokes)
	s.measure(&t)
	return t, nil
}

// run draws letters that are joined to one another, or one alone.
func (s *setter) run(t *Text, run []placed, line int, base bent) error {
	first := len(t.Strokes)
	for _, p := range run {
		m, at, turn := base.carry(p)
		if len(run) == 1 {
			for _, c := range p.strokes {
				t.Strokes = append(t.Strokes, c.Transform(m))
			}
		}
		t.Letters = append(t.Letters, Letter{
			Text: p.text, Line: line, Width: p.width, Origin: at, Turn: turn, First: first,
			At: weave.Place{Across: float64(p.across), Along: base.along},
		})
	}
	if len(run) > 1 {
		strokes, err := s.joined(run)
		if err != nil {
			return err
		}
		for _, c := range strokes {
			t.Strokes = append(t.Strokes, base.bend(c, run[0]))
		}
	}
	for i := range run {
		t.Letters[len(t.Letters)-1-i].Last = len(t.Strokes)
	}
	return nil
}

// joined returns letters that join as the fewest strokes, measured from the
// left edge of the first. A word that occurs again is joined only once.
// Its error is that of [join.Strokes].
func (s *setter) joined(run []placed) ([]paths.Stroke, error) {
	var key strings.Builder
	for _, p := range run {
		fmt.Fprintf(&key, "%d ", p.glyph.number)
	}
	if strokes, ok := s.runs[key.String()]; ok {
		return strokes, nil
	}
	var strokes []paths.Stroke
	for _, p := range run {
		m := paths.Translate(s.Grid.At(weave.Place{Across: float64(p.across - run[0].across)}))
		for _, c := range p.strokes {
			strokes = append(strokes, c.Transform(m))
		}
	}
	joined, _, err := join.Strokes(strokes, join.Options{Tolerance: joint * min(s.Grid.Across, s.Grid.Along)})
	if err != nil {
		return nil, err
	}
	s.runs[key.String()] = joined
	return joined, nil
}

// measure finds the text's extent and its straights.
func (s *setter) measure(t *Text) {
	box := paths.BoundsOf(t.Strokes)
	lo, hi := s.Grid.PlaceOf(box.Min), s.Grid.PlaceOf(box.Max)
	t.Min = weave.Place{Across: math.Floor(lo.Across + joint), Along: math.Floor(lo.Along + joint)}
	t.Max = weave.Place{Across: math.Ceil(hi.Across - joint), Along: math.Ceil(hi.Along - joint)}
	if !t.OnWeave {
		return
	}
	for i, stroke := range t.Strokes {
		for _, c := range stroke {
			if st, ok := straightOf(c, s.Grid); ok {
				st.Stroke = i
				t.Straights = append(t.Straights, st)
			}
		}
	}
}

// straightOf returns the straight that a curve is, if it is an upright or level
// line.
func straightOf(c paths.Curve, g weave.Grid) (Straight, bool) {
	l, ok := c.(paths.Line)
	if !ok {
		return Straight{}, false
	}
	a, b := g.PlaceOf(l.A), g.PlaceOf(l.B)
	switch {
	case math.Abs(a.Across-b.Across) < joint && math.Abs(a.Along-b.Along) >= joint:
		return Straight{weave.Across, int(math.Round(a.Across)), min(a.Along, b.Along), max(a.Along, b.Along), 0}, true
	case math.Abs(a.Along-b.Along) < joint && math.Abs(a.Across-b.Across) >= joint:
		return Straight{weave.Along, int(math.Round(a.Along)), min(a.Across, b.Across), max(a.Across, b.Across), 0}, true
	}
	return Straight{}, false
}

// bent is a base line: straight, or along a circle.
type bent struct {
	grid   weave.Grid
	along  float64 // its row where it is straight
	middle float64 // the middle of the text, in channels
	said   paths.System
	radius float64 // mm, 0 for a straight line; negative below the centre
}

// carry returns the map of a letter to its place, the place of its origin and
// its turn. On a circle the radius passes through the middle of a letter.
func (b bent) carry(p placed) (m paths.Affine, at paths.Point, turn float64) {
	if b.radius == 0 {
		at = b.grid.At(weave.Place{Across: float64(p.across), Along: b.along})
		return paths.Translate(at), at, 0
	}
	half := float64(p.width) / 2 * b.grid.Across
	x := (float64(p.across)-b.middle)*b.grid.Across + half // along the arc from its top
	turn = -x / b.radius
	// The centre is below the middle of the text, or above it.
	centre := paths.Point{X: b.middle * b.grid.Across, Y: b.along*b.grid.Along - b.radius}
	m = paths.Translate(paths.Point{X: -half, Y: b.radius}).Then(paths.Rotate(turn)).Then(paths.Translate(centre))
	return m, m.Apply(paths.Point{}), turn
}

// bendTolerance is how far in mm a stroke that is bent may be off its place.
const bendTolerance = 0.005

// bend returns a stroke of joined letters, drawn from the left edge of the first,
// on the base line. On a circle the letters are not turned one by one, which would
// tear them apart: every point goes round by its distance along the line, and level
// lines become arcs about the centre.
func (b bent) bend(s paths.Stroke, first placed) paths.Stroke {
	if b.radius == 0 {
		m, _, _ := b.carry(first)
		return s.Transform(m)
	}
	edge := (float64(first.across) - b.middle) * b.grid.Across
	centre := paths.Point{X: b.middle * b.grid.Across, Y: b.along*b.grid.Along - b.radius}
	return warp.Stroke(s, func(p paths.Point) paths.Point {
		return centre.Add(paths.Rotate(-(edge + p.X) / b.radius).Apply(paths.Point{Y: b.radius + p.Y}))
	}, bendTolerance)
}

// room refuses an arc that is too short for the line.
func (b bent) room(l []placed, first float64) error {
	lo, hi := reach(l)
	length := float64(hi-lo) * b.grid.Across
	if b.radius*first <= 0 || length > 2*math.Pi*math.Abs(b.radius) {
		return fault.TooBig("", "give a longer radius, lower letters or fewer words",
			"a line %s long does not go on an arc of %s", paths.Length(length).In(b.said), paths.Length(math.Abs(b.radius)).In(b.said))
	}
	return nil
}
