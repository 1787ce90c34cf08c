package layout

import (
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
	"weftplot/plot/job"
)

// Inscription is the line of words that the settings ask for, before its place is known.
type Inscription struct {
	places  []string
	said    paths.System // in which the person says lengths
	alpha   letters.Alphabet
	Rows    int // height of a capital
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
func inscriptionOf(s job.Settings, a letters.Alphabet, g weave.Grid) (Inscription, error) {
	b := Inscription{alpha: a, said: s.Said, clear: s.ClearRows() + 1}
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
	if b.Rows, err = s.WordsRows(g); err != nil {
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
func (b Inscription) set(text string, g weave.Grid, most int) (letters.Text, error) {
	t, err := letters.Set(text, letters.Options{Alphabet: b.alpha, Height: b.Rows, Grid: g, Align: letters.Centre, Most: most, Said: b.said})
	return t, fault.At("words", err)
}

// takes returns how many channels more lie between the edge and the artwork at an end
// of the rug.
func (b Inscription) takes(place string) int {
	if !b.inPanel || !slices.Contains(b.places, place) {
		return 0
	}
	return b.tall + b.clear
}

// foot returns the channel that the lowest line of the words lies in, in a rug ny
// channels long.
func (b Inscription) foot(place string, ny int) int {
	from := b.inside + b.clear
	if !b.inPanel {
		from = b.inside + (b.clear-b.tall)/2
	}
	if place == job.WordsTop {
		return ny - from - b.tall
	}
	return from
}

// Poses sets the words of the settings in a rug of so many channels each way, and returns
// how they lie at each of their places in the frame "drawn", mirrored or not.
func (b Inscription) Poses(s job.Settings, g weave.Grid, nx, ny int, mirrored bool) (t letters.Text, poses []letters.Pose, err error) {
	if len(b.places) == 0 {
		return t, nil, nil
	}
	room := nx - 2*(b.inside+b.clear)
	if t, err = b.set(s.Words, g, max(1, room)); err != nil {
		return t, nil, err
	}
	right, up, err := s.WordsMove()
	if err != nil {
		return t, nil, err
	}
	for _, place := range b.places {
		wide := int(t.Max.Across - t.Min.Across)
		x, y := (nx-wide)/2+right, b.foot(place, ny)+up
		if err := b.within(x, y, x+wide, y+b.tall, nx, ny); err != nil {
			return t, nil, err
		}
		pose := letters.Pose{At: weave.Place{Across: float64(x) - t.Min.Across, Along: float64(y) - t.Min.Along}}
		if mirrored {
			pose.Mirrored, pose.At.Across = true, float64(nx)-pose.At.Across
		}
		poses = append(poses, pose)
	}
	return t, poses, nil
}

// within refuses words that have been moved out of the border: each side of their box
// is at least a channel inside its innermost line.
func (b Inscription) within(x0, y0, x1, y1, nx, ny int) error {
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
