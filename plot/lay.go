package plot

import (
	"fmt"
	"math"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
	"weftplot/plot/job"
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
	Layout Layout // how the design lies in the rug
	// Margin is what of the backing is left round the rug, in mm.
	Margin   float64
	Mirrored bool
	// Field is the design without the layers that are repeated along the border, and Band
	// the row of these, nil for none.
	Field paths.Design
	Band  *Band
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
	words, err := inscriptionOf(s, alpha, l.Grid)
	if err != nil {
		return err
	}
	if l.Field, l.Band, err = bandOf(l.Inputs.Design, s, l.Grid, words.inside+words.clear); err != nil {
		return err
	}
	if l.Band != nil { // what follows lies inside it
		words.inside += words.clear + l.Band.Deep
	}
	if l.Layout, err = layOut(l.Field, s, l.Grid, words, l.Band); err != nil {
		return err
	}
	m := l.Layout.ToRug.Then(l.Mirror(l.Layout.Width))
	for _, layer := range l.Field.Layers {
		for _, k := range layer.Strokes {
			l.Artwork = append(l.Artwork, Stroke{k.Stroke.Transform(m), layer.Name})
		}
	}
	if err := l.setWords(alpha, l.Layout.room); err != nil {
		return err
	}
	if len(l.Field.Words) > 0 || s.Words != "" {
		l.Settings.Alphabet = alpha.Name()
	}
	return l.setInscription(words)
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

// Layout says how the design lies in the finished rug: the step from the frame
// "design" to the frame "rug".
type Layout struct {
	// Size of the finished rug in mm, outer line to outer line.
	Width, Height float64
	// NX and NY are the size in channels: whole numbers with a border.
	NX, NY float64
	// ToRug is the map from design to rug: a scale and a move.
	ToRug paths.Affine
	// Scale is the factor of lengths in ToRug.
	Scale float64

	room inside // what a border leaves
}

// layOut finds the finished size. Without a border the rug is the design's
// extent. With one it is a whole number of channels each way, and the artwork,
// its proportions kept, lies in the middle, inside border, words and clearance.
func layOut(d paths.Design, s job.Settings, g weave.Grid, words inscription, band *Band) (Layout, error) {
	rows, err := s.BorderRows()
	if err != nil {
		return Layout{}, err
	}
	b, err := extent(d, words.alpha, g)
	if err != nil {
		return Layout{}, err
	}
	w, h := b.Width(), b.Height()
	if err := sizeGiven(d, s, w, h); err != nil {
		return Layout{}, err
	}
	var l Layout
	inset := float64(words.inside + words.clear)
	bottom, top := inset+float64(words.takes(job.WordsBottom)), inset+float64(words.takes(job.WordsTop))
	switch {
	case rows != nil:
		if l, err = layInside(s, g, 2*inset, bottom+top, w, h); err != nil {
			return Layout{}, err
		}
		if band != nil {
			if err := band.close(&l, s, g); err != nil {
				return Layout{}, err
			}
			l.Scale = min(sideScale((l.NX-2*inset)*g.Across, w), sideScale((l.NY-bottom-top)*g.Along, h))
			l.Width, l.Height = l.NX*g.Across, l.NY*g.Along
		}
	case s.Width > 0:
		l.Scale = float64(s.Width) / w
	case s.Height > 0:
		l.Scale = float64(s.Height) / h
	default:
		l.Scale = 1
	}
	if rows == nil {
		inset, bottom, top = 0, 0, 0
		l.Width, l.Height = w*l.Scale, h*l.Scale
		l.NX, l.NY = l.Width/g.Across, l.Height/g.Along
		if n := math.Max(l.NX, l.NY); n < weave.LeastChannels {
			return Layout{}, fault.TooBig(d.Name, "make it larger", "the rug would be %.1f by %.1f channels, and at least %d one way are needed to work anything", l.NX, l.NY, weave.LeastChannels)
		}
	}
	l.ToRug = paths.Translate(b.Centre().Mul(-1)).Then(paths.Scale(l.Scale, l.Scale)).
		Then(paths.Translate(paths.Point{X: l.Width / 2, Y: l.Height/2 + (bottom-top)/2*g.Along}))
	l.room = inside{rows != nil, weave.Place{Across: inset, Along: bottom}, weave.Place{Across: l.NX - inset, Along: l.NY - top}, s.Said}
	return l, nil
}

// layInside fits the artwork inside a border: one side is as asked, rounded to
// whole channels, and the other follows from the artwork's proportions. Across and
// along so many channels are not for the artwork.
func layInside(s job.Settings, g weave.Grid, across, along, w, h float64) (Layout, error) {
	var l Layout
	follow := func(asked, pitch, margin, size, otherPitch, otherMargin, otherSize float64) (n, other float64) {
		n = math.Round(asked / pitch)
		l.Scale = (n - margin) * pitch / size
		return n, math.Ceil(otherSize*l.Scale/otherPitch-0.02) + otherMargin
	}
	asked := float64(s.Width)
	if asked == 0 && s.Height == 0 {
		asked = w
		if w == 0 {
			s.Height = paths.Length(h)
		}
	}
	if s.Height > 0 && s.Width == 0 {
		l.NY, l.NX = follow(float64(s.Height), g.Along, along, h, g.Across, across, w)
	} else {
		l.NX, l.NY = follow(asked, g.Across, across, w, g.Along, along, h)
	}
	// The other side may have been rounded down by a fiftieth of a channel.
	for _, side := range []struct{ room, size float64 }{
		{(l.NX - across) * g.Across, w}, {(l.NY - along) * g.Along, h},
	} {
		if side.size > 0 {
			l.Scale = min(l.Scale, side.room/side.size)
		}
	}
	l.Width, l.Height = l.NX*g.Across, l.NY*g.Along
	if l.Scale <= 0 {
		taking, taken := "border and clearance take", fmt.Sprint(across)
		if along != across {
			taking, taken = "border, words and clearance take", fmt.Sprintf("%g by %g", across, along)
		}
		return l, fault.TooBig("border", "make the rug larger, or the border or the clearance smaller",
			"%s %s channels of the rug's %.0f by %.0f, and nothing is left for the artwork", taking, taken, l.NX, l.NY)
	}
	if err := weave.CheckSize(int(l.NX), int(l.NY)); err != nil {
		return l, fault.At("border", err)
	}
	return l, nil
}

// sideScale returns the greatest scale at which artwork of a size fits a room, both in mm.
func sideScale(room, size float64) float64 {
	if size == 0 {
		return math.Inf(1)
	}
	return room / size
}

// sizeGiven checks that a size can be had, and that two sizes agree. The line
// work is w by h mm as drawn.
func sizeGiven(d paths.Design, s job.Settings, w, h float64) error {
	wide, high := s.Width > 0, s.Height > 0
	switch {
	case s.Width == 0 && s.Height == 0 && !d.HasSize:
		return fault.Bad(d.Name, "say how large the rug is to be: [width] 24in, or [height] 61cm", "the design states no size, and none was given")
	case w == 0 && h == 0:
		return fault.Bad(d.Name, "", "the line work is a single point and has no size")
	case wide && high:
		return sizesAgree(s, w, h)
	case wide && w == 0:
		return fault.Bad("width", "give [height] instead", "the line work has no width to scale")
	case high && h == 0:
		return fault.Bad("height", "give [width] instead", "the line work has no height to scale")
	}
	return nil
}

// sizesAgree checks that a width and a height have the proportions of the line
// work, to half a per cent.
func sizesAgree(s job.Settings, w, h float64) error {
	if w > 0 && h > 0 && math.Abs(float64(s.Width)/w*h/float64(s.Height)-1) <= 0.005 {
		return nil
	}
	follows := float64(s.Width) * h / max(w, 1e-9)
	return fault.Bad("width and height", "give one of the two; the other follows from the design",
		"they contradict each other: at %s wide this design is %s high, not %s", s.Width.In(s.Said), paths.Length(follows).In(s.Said), s.Height.In(s.Said))
}
