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
	"weftplot/plot/layout"
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

// setWords sets the design's words on the weave.
func (l *Laid) setWords(a letters.Alphabet, room layout.Room) error {
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
		start := w.At.Sub(paths.Rotate(w.Turn).Apply(paths.Point{X: layout.Anchored(w.Anchor, t.Max.Across*grid.Across)}))
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
func (k *Lettered) putInChannels(start paths.Point, p letters.Pose, t letters.Text, l *Laid, room layout.Room) error {
	k.Turn = float64(p.Quarters) * math.Pi / 2
	at := l.Grid.PlaceOf(start)
	p.At = weave.Place{Across: math.Round(at.Across), Along: math.Round(at.Along)}
	asked := p.At
	if err := room.Keep(&p, t, l.Inputs.Design.Name, l.Grid); err != nil {
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

// setInscription sets the words that the settings ask for.
func (l *Laid) setInscription(b layout.Inscription) error {
	t, poses, err := b.Poses(l.Settings, l.Grid, int(math.Round(l.Layout.NX)), int(math.Round(l.Layout.NY)), l.Mirrored)
	if err != nil {
		return err
	}
	for _, pose := range poses {
		k := Lettered{Text: l.Settings.Words, Layer: WordsLayer, Height: b.Rows, OnWeave: true, Notes: t.Notes}
		k.put(pose, t)
		l.Words = append(l.Words, k)
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
