package plot

import (
	"fmt"
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
	"weftplot/plot/job"
)

// WordsLayer is the name of the layer of the words that the settings ask for.
const WordsLayer = "words"

// Lettered is a line of words, set in single-line letters in the frame "drawn". It
// is set on the weave of the finished rug, so no step after that moves it.
type Lettered struct {
	Text   string
	Layer  string // its name
	Height int    // of a capital, in rows
	// At is the crossing of channels that the line's origin is put at. Turn is the
	// angle of its base line in radians, on the front of the rug.
	At   weave.Place
	Turn float64
	// OnWeave is false where it is turned other than by quarters: its straight lines
	// then lie in no channels.
	OnWeave bool
	Strokes []paths.Stroke
	// Straights are the lines in channels, none where it is not on the weave.
	Straights []letters.Straight
	// Lo and Hi are the corners of the smallest box on whole channels that holds it;
	// off the weave that of its bounds.
	Lo, Hi weave.Place
	Notes  []string // of its letters
}

// extent returns how far a design reaches, its words with it: as wide as they will be
// but for the rounding to whole channels.
func extent(d paths.Design, a letters.Alphabet, g weave.Grid) (paths.Rect, error) {
	var cache letters.Cache
	const rows = 24 // high enough for proportions
	box := d.Bounds()
	for _, w := range d.Words {
		t, err := cache.Set(w.Text, letters.Options{Alphabet: a, Height: rows, Grid: g})
		if err != nil {
			return box, fault.At(d.Name, err)
		}
		k := w.Height / (rows * g.Along)
		lo, hi := g.At(t.Min).Mul(k), g.At(t.Max).Mul(k)
		hi.X += w.Spacing * float64(len(t.Letters)-1)
		m := paths.Translate(paths.Point{X: -anchored(w.Anchor, hi.X)}).Then(paths.Rotate(w.Turn)).Then(paths.Translate(w.At))
		for _, p := range []paths.Point{lo, {X: hi.X, Y: lo.Y}, hi, {X: lo.X, Y: hi.Y}} {
			box = box.Include(m.Apply(p))
		}
	}
	return box, nil
}

// anchored returns how far an anchor is from the left end of a line of a width.
func anchored(a paths.Anchor, width float64) float64 {
	return float64(a) * width / 2
}

// setWords sets the design's words on the weave.
func (l *Laid) setWords(a letters.Alphabet, room inside) error {
	var cache letters.Cache
	for _, w := range l.Field.Words {
		w = w.Transform(l.Layout.ToRug)
		quarters, on := l.quarters(w.Turn)
		pose := letters.Pose{Quarters: quarters, Mirrored: l.Mirrored}
		grid := l.Grid
		if on {
			grid = pose.Grid(l.Grid)
		}
		rows := int(math.Round(w.Height / grid.Along))
		if rows < a.Least() {
			l.leftOut = append(l.leftOut, tooLow(w, rows, a))
			continue
		}
		t, err := cache.Set(w.Text, letters.Options{Alphabet: a, Height: rows, Grid: grid, Spacing: int(math.Round(w.Spacing / grid.Across))})
		if err != nil {
			return fault.At(fmt.Sprintf("%s, line %d", l.Inputs.Design.Name, w.Line), err)
		}
		k := Lettered{Text: w.Text, Layer: w.Layer, Height: rows, Turn: w.Turn, OnWeave: on, Notes: slices.Clone(t.Notes)}
		// The left end of the base line, in the frame "drawn".
		start := w.At.Sub(paths.Rotate(w.Turn).Apply(paths.Point{X: anchored(w.Anchor, t.Max.Across*grid.Across)}))
		start = l.Mirror(l.Layout.Width).Apply(start)
		if !on {
			k.putFreely(start, t, l)
		} else if err := k.putInChannels(start, pose, t, l, room); err != nil {
			return err
		}
		l.Words = append(l.Words, k)
	}
	return nil
}

// putInChannels lays a text on the weave, as near to its place as whole channels
// allow, and inside the border.
func (k *Lettered) putInChannels(start paths.Point, p letters.Pose, t letters.Text, l *Laid, room inside) error {
	k.Turn = float64(p.Quarters) * math.Pi / 2
	at := l.Grid.PlaceOf(start)
	p.At = weave.Place{Across: math.Round(at.Across), Along: math.Round(at.Along)}
	asked := p.At
	if err := room.keep(&p, t, l.Inputs.Design.Name, l.Grid); err != nil {
		return err
	}
	if dx, dy := math.Abs(p.At.Across-asked.Across), math.Abs(p.At.Along-asked.Along); max(dx, dy) > 1 {
		k.Notes = append(k.Notes, fmt.Sprintf("the words %q are moved by %g channels across and %g along, to stay inside the border", k.Text, dx, dy))
	}
	k.put(p, t)
	return nil
}

// putFreely lays a text that is turned, off the weave.
func (k *Lettered) putFreely(start paths.Point, t letters.Text, l *Laid) {
	m := paths.Rotate(k.Turn)
	if l.Mirrored {
		m = m.Then(paths.Scale(-1, 1))
	}
	m = m.Then(paths.Translate(start))
	for _, s := range t.Strokes {
		k.Strokes = append(k.Strokes, s.Transform(m))
	}
	box := paths.BoundsOf(k.Strokes)
	lo, hi := l.Grid.PlaceOf(box.Min), l.Grid.PlaceOf(box.Max)
	k.At = l.Grid.PlaceOf(start)
	k.Lo, k.Hi = weave.Place{Across: math.Floor(lo.Across), Along: math.Floor(lo.Along)}, weave.Place{Across: math.Ceil(hi.Across), Along: math.Ceil(hi.Along)}
}

// put lays a text that is on the weave.
func (k *Lettered) put(p letters.Pose, t letters.Text) {
	k.At, k.Strokes, k.Straights = p.At, p.Strokes(t), p.Straights(t)
	k.Lo, k.Hi = p.Box(t)
}

// quarters returns the quarter turns that an angle is, and whether it is so near to
// them that the words go onto the weave: as near as a line that is snapped.
func (l *Laid) quarters(turn float64) (n int, on bool) {
	near := l.Settings.Snap * math.Pi / 180
	if l.Settings.NoSnap {
		near = 1e-6
	}
	q := math.Round(turn / (math.Pi / 2))
	return int(q) & 3, math.Abs(turn-q*math.Pi/2) <= near
}

// tooLow is the doubt about words whose letters would be lower than they are drawn.
func tooLow(w paths.Words, rows int, a letters.Alphabet) Doubt {
	do := "make the rug or the words larger"
	for _, name := range letters.Names() {
		if b, err := letters.Named(name); err == nil && b.Least() <= rows {
			do += fmt.Sprintf(", or give [alphabet] %s, which begins at %d", name, b.Least())
			break
		}
	}
	return Doubt{"words-too-low", job.NoteText(paths.Note{Element: w.Element, Line: w.Line, Message: fmt.Sprintf(
		"the words %q would be %d rows of holes high, and the letters of the alphabet %s are drawn from %d rows on: they are left out",
		w.Text, rows, a.Name(), a.Least())}), do}
}

// inside is what a border leaves for the artwork, in channels of the frame "drawn".
type inside struct {
	bordered bool
	lo, hi   weave.Place
	said     paths.System // in which the person says lengths
}

// keep moves words by whole channels into the room inside the border, and refuses
// those that are larger than it.
func (r inside) keep(p *letters.Pose, t letters.Text, name string, g weave.Grid) error {
	if !r.bordered {
		return nil
	}
	lo, hi := p.Box(t)
	for _, side := range []struct {
		word             string
		lo, hi, min, max float64
		pitch            float64
		at               *float64
	}{
		{"wide", lo.Across, hi.Across, r.lo.Across, r.hi.Across, g.Across, &p.At.Across},
		{"high", lo.Along, hi.Along, r.lo.Along, r.hi.Along, g.Along, &p.At.Along},
	} {
		if over := (side.hi - side.lo) - (side.max - side.min); over > 0 {
			return fault.TooBig(name, "make the words smaller, or the rug larger",
				"words of the design are %g channels %s, %g more (%s) than there are inside the border",
				side.hi-side.lo, side.word, over, paths.Length(over*side.pitch).In(r.said))
		}
		*side.at += max(0, side.min-side.lo) - max(0, side.hi-side.max)
	}
	return nil
}

// inscription is the line of words that the settings ask for, before its place is known.
type inscription struct {
	places  []string
	said    paths.System // in which the person says lengths
	alpha   letters.Alphabet
	rows    int // height of a capital
	tall    int // of the whole line, in channels
	inside  int // of the innermost line of the border, in channels from the edge
	clear   int // channels from there to the artwork
	inPanel bool
}

// leastAround is how many channels words in the clearance keep from what is above and
// below them.
const leastAround = 2

// inscriptionOf returns the inscription of the settings. Words that fit in the clearance stand
// there, in its middle; others get a panel of their own between the border and the
// artwork, with the clearance on either side.
func inscriptionOf(s job.Settings, a letters.Alphabet, g weave.Grid) (inscription, error) {
	b := inscription{alpha: a, said: s.Said, clear: s.ClearRows() + 1}
	rows, err := s.BorderRows()
	if err != nil {
		return b, err
	}
	for _, n := range rows {
		b.inside += n + 1
	}
	if b.places, err = s.WordsPlaces(); err != nil || len(b.places) == 0 {
		return b, err
	}
	if b.rows, err = s.WordsRows(g); err != nil {
		return b, err
	}
	t, err := b.set(s.Words, g, 0)
	if err != nil {
		return b, err
	}
	b.tall = int(t.Max.Along - t.Min.Along)
	b.inPanel = b.tall+2*leastAround > b.clear
	return b, nil
}

// set sets the words in at most so many channels, 0 for any.
func (b inscription) set(text string, g weave.Grid, most int) (letters.Text, error) {
	t, err := letters.Set(text, letters.Options{Alphabet: b.alpha, Height: b.rows, Grid: g, Align: letters.Centre, Most: most, Said: b.said})
	return t, fault.At("words", err)
}

// takes returns how many channels more lie between the edge and the artwork at an end
// of the rug.
func (b inscription) takes(place string) int {
	if !b.inPanel || !slices.Contains(b.places, place) {
		return 0
	}
	return b.tall + b.clear
}

// foot returns the channel that the lowest line of the words lies in, in a rug ny
// channels long.
func (b inscription) foot(place string, ny int) int {
	from := b.inside + b.clear
	if !b.inPanel {
		from = b.inside + (b.clear-b.tall)/2
	}
	if place == job.WordsTop {
		return ny - from - b.tall
	}
	return from
}

// setInscription sets the words that the settings ask for.
func (l *Laid) setInscription(b inscription) error {
	if len(b.places) == 0 {
		return nil
	}
	nx, ny := int(math.Round(l.Layout.NX)), int(math.Round(l.Layout.NY))
	room := nx - 2*(b.inside+b.clear)
	t, err := b.set(l.Settings.Words, l.Grid, max(1, room))
	if err != nil {
		return err
	}
	right, up, err := l.Settings.WordsMove()
	if err != nil {
		return err
	}
	for _, place := range b.places {
		wide := int(t.Max.Across - t.Min.Across)
		x, y := (nx-wide)/2+right, b.foot(place, ny)+up
		if err := b.within(x, y, x+wide, y+b.tall, nx, ny); err != nil {
			return err
		}
		pose := letters.Pose{At: weave.Place{Across: float64(x) - t.Min.Across, Along: float64(y) - t.Min.Along}}
		if l.Mirrored {
			pose.Mirrored, pose.At.Across = true, float64(nx)-pose.At.Across
		}
		k := Lettered{Text: l.Settings.Words, Layer: WordsLayer, Height: b.rows, OnWeave: true, Notes: t.Notes}
		k.put(pose, t)
		l.Words = append(l.Words, k)
	}
	return nil
}

// within refuses words that have been moved out of the border: each side of their box
// is at least a channel inside its innermost line.
func (b inscription) within(x0, y0, x1, y1, nx, ny int) error {
	least := b.inside + 1
	for _, side := range []struct {
		by   int
		name string
	}{{least - x0, "left"}, {x1 - (nx - least), "right"}, {least - y0, "bottom"}, {y1 - (ny - least), "top"}} {
		if side.by > 0 {
			return fault.TooBig("words-shift", "move them less far", "the words would stand %d channels over the border on the %s", side.by, side.name)
		}
	}
	return nil
}

// linesOfWords returns which of Words each of lettered is of, from 1.
func (l Laid) linesOfWords() []int {
	var out []int
	for i, w := range l.Words {
		for range w.Strokes {
			out = append(out, i+1)
		}
	}
	return out
}

// lettered returns the strokes of the words, with their layers.
func (l Laid) lettered() []Stroke {
	var out []Stroke
	for _, w := range l.Words {
		for _, s := range w.Strokes {
			out = append(out, Stroke{s, w.Layer})
		}
	}
	return out
}
