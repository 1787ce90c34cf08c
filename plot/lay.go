package plot

import (
	"fmt"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/plot/job"
	"weftplot/plot/layout"
	"weftplot/profiles"
)

// Laid is a design at its finished size in the frame "drawn", before the weave
// moves anything.
type Laid struct {
	Inputs job.Inputs // what it is made from
	// Settings say what was decided: every default, the count and the margin are
	// in them.
	Settings job.Settings
	// Count is the weave's, from the settings or else the backing. Grid is the
	// weave with channel 0 through the lower left corner.
	Count  paths.Count
	Grid   weave.Grid
	Layout layout.Layout // how the design lies in the rug
	// Margin is what of the backing is left round the rug, in mm.
	Margin   float64
	Mirrored bool
	// Field is the design without the layers that are repeated along the border, and Band
	// the row of these, nil for none.
	Field paths.Design
	Band  *layout.Band
	// Artwork holds the strokes of the field.
	Artwork []Stroke
	// Words are the lines of words of the design and of the settings.
	Words []Lettered

	leftOut []Doubt // about words that are not drawn
}

// The most that one rug is drawn with. More would take a pen days.
const (
	maxStrokes = 250_000
	maxCurves  = 1_000_000
	maxWords   = 5_000  // lines of them
	maxLetters = 50_000 // of all words
)

// Lay finds the weave, the margin and the finished size, and lays the design out
// at that size, mirrored where the craft and the transfer ask for it.
//
// It refuses with a [fault.Input] settings that are not possible and a design
// without line work, without a size, or with too many strokes; and with a
// [fault.Fit] a rug that is too small for its border, its words or its weave.
func Lay(in job.Inputs, s job.Settings) (Laid, error) {
	s = s.Complete()
	if err := s.Validate(); err != nil {
		return Laid{}, err
	}
	if err := drawable(in.Design); err != nil {
		return Laid{}, err
	}
	l := Laid{Inputs: in, Settings: s, Mirrored: job.Mirrored(s.Craft, s.Transfer), Count: in.Backing.Count}
	var err error
	if s.Count != "" {
		if l.Count, err = paths.ParseCount(s.Count); err != nil {
			return Laid{}, fault.At("count", err)
		}
	}
	if l.Grid, err = weave.NewGrid(l.Count); err != nil {
		return Laid{}, err
	}
	if s, err = s.WithRows(l.Grid); err != nil {
		return Laid{}, err
	}
	l.Settings = s
	margin := in.Backing.Margin
	if s.Margin != "" {
		if margin, err = paths.ParseLength(s.Margin); err != nil {
			return Laid{}, fault.At("margin", err)
		}
	}
	if margin < 0 || margin > 1e4 {
		return Laid{}, fault.Bad("margin", `give a length, such as "4in"`, "a margin of %s is not possible", margin)
	}
	l.Margin = float64(margin)
	// The job file says what was decided, not what a later profile might.
	l.Settings.Count, l.Settings.Margin = l.Count.String(), margin.String()
	if err := l.place(); err != nil {
		return Laid{}, err
	}
	return l, nil
}

// place lays out the design and the words.
func (l *Laid) place() error {
	s := l.Settings
	alpha, err := s.Letters()
	if err != nil {
		return err
	}
	a, err := layout.Arrange(l.Inputs.Design, s, alpha, l.Grid)
	if err != nil {
		return err
	}
	l.Field, l.Band, l.Layout = a.Field, a.Band, a.Layout
	m := l.Layout.ToRug.Then(l.Mirror(l.Layout.Width))
	for _, layer := range l.Field.Layers {
		l.Artwork = append(l.Artwork, eachStroke(len(layer.Strokes), func(i int) Stroke {
			return Stroke{layer.Strokes[i].Transform(m), layer.Name}
		})...)
	}
	if err := l.setWords(alpha, l.Layout.Room); err != nil {
		return err
	}
	if len(l.Field.Words) > 0 || s.Words != "" {
		l.Settings.Alphabet = alpha.Name()
	}
	return l.setInscription(a.Inscription)
}

// Mirror returns the map from the frame "rug" to the frame "drawn" of a rug of
// the given width in mm: the identity, or left and right exchanged. It is its own
// inverse.
func (l Laid) Mirror(width float64) paths.Affine {
	if l.Mirrored {
		return paths.MirrorX(width / 2)
	}
	return paths.Identity()
}

// PenFor returns the pen of a layer. A pen that is not among the inputs is an
// error.
func (l Laid) PenFor(layer string) (profiles.Pen, error) {
	name := l.Settings.Pen
	if n, ok := l.Settings.PenFor[layer]; ok {
		name = n
	}
	p, ok := l.Inputs.Pens[name]
	if !ok {
		return p, fmt.Errorf("the pen %q was not handed over", name)
	}
	return p, nil
}

// drawable refuses a design that holds no line work, and one that would keep the
// machine, and the search for an order, busy for ever.
func drawable(d paths.Design) error {
	strokes, curves := d.Strokes(), 0
	for _, s := range strokes {
		curves += len(s)
	}
	if len(strokes) == 0 && len(d.Words) == 0 {
		do := `"weftplot check" says what the file holds`
		if len(d.Notes) > 0 {
			do += "; the first: " + job.NoteText(d.Notes[0])
		}
		return fault.Bad(d.Name, do, "the design holds no line work")
	}
	letters := 0
	for _, w := range d.Words {
		letters += len(w.Text)
	}
	if len(d.Words) > maxWords || letters > maxLetters {
		return fault.Bad(d.Name, "draw less text, or leave layers out with [skip]",
			"the design holds %d lines of words of %d letters; the most that is prepared is %d of %d", len(d.Words), letters, maxWords, maxLetters)
	}
	if len(strokes) <= maxStrokes && curves <= maxCurves {
		return nil
	}
	return fault.Bad(d.Name, "simplify the design, or leave layers out with [skip]",
		"the design holds %d strokes of %d pieces; the most that is prepared is %d of %d", len(strokes), curves, maxStrokes, maxCurves)
}
