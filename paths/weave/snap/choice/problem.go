package choice

import "weftplot/paths/near"

// Problem is what channels are chosen for: parallel lines. Places across them are in
// channels, and so are lengths along them, in channels of the other axis.
type Problem struct {
	Lines []Line
	// Tied are sets of lines, by index, that share a channel whatever happens; nil for
	// none.
	Tied *near.Sets
	// Links are pairs whose spacings are compared beside those of lines that see each
	// other.
	Links []Link
	// Room, unless nil, is the channels that all but fixed lines keep to.
	Room *Span
	// Stopped, unless nil, is asked now and then whether to end; what is returned then
	// is of no use.
	Stopped func() bool

	// Figures are what figures need that end on lines.
	Figures []Figure

	centre *int // twice the channel of a mirror's axis, when only the left half is here
}

func (p *Problem) stopped() bool { return p.Stopped != nil && p.Stopped() }

// Line is a line that is to lie in a channel.
type Line struct {
	Extent
	Weight  float64 // its length in channels; 0 for a fixed line
	Fixed   bool    // it stays in Channel
	Loose   bool    // it takes the nearest channel, whatever recurs
	Named   bool    // it goes into Channel because a person says so
	Channel int     // of a fixed or named line
	Within  *Span   // channels that keep what hangs on it in the room, or nil
}

// Figure is what a figure needs that ends on lines, such as a roof on its walls: each as
// a whole or not at all.
type Figure struct {
	Spacings []Spacing
	// Width, unless 0, is of a figure that ends on none of the lines, and is its own
	// mirror image about Middle: where that is the mirror of the lines, it goes in a
	// channel or midway as so many channels ask.
	Width  int
	Middle float64 // in channels
}

// Spacing is two lines, by index, the first with the lower place or the same, and how
// many channels they are to lie apart.
type Spacing struct{ A, B, Count int }

// Span is a range of channels, both ends included.
type Span struct{ Lo, Hi int }

// Link is a pair of lines, by index, whose spacing a maker compares with others, the
// first with the lower place.
type Link struct {
	A, B int
	Sure bool // of equal motifs: that it recurs is no chance
}

// Answer is a channel for each line, what the choice costs, and what could not be kept.
type Answer struct {
	Channel   []int
	Cost      float64  // channels³
	Crowded   [][2]int // pairs of lines that found no room to keep apart
	Crowds    []Crowd
	Recurring []Recurring
	Unmet     int      // how many figures do not get what they need
	Proved    bool     // that no other counts and channels cost less
	Refused   *Refusal // then the rest is of no use; nil for none
	Mirror    *Mirror  // the axis of lines that are their own mirror image, and stay so, or nil

	aside bool // its axis lies beside that of the fixed lines, which it should share
}

// Refusal is a line that has no room in the channel that a person named; there is room
// from one channel to another.
type Refusal struct{ Line, Lo, Hi int }

// Mirror is an axis of symmetry.
type Mirror struct {
	Before float64 // its place as drawn, in channels
	Twice  int     // twice its place after, which lies in a channel or midway between two
}

// Recurring is a size that recurs, and what came of it.
type Recurring struct {
	Size   float64  // in channels, as drawn
	Count  int      // in channels; of the most places when uneven
	Places [][2]int // the lines of each; a line and itself across a mirror's axis
	Lost   []int    // which of the places got another count
	Why    Reason   // that some are lost
}

// Reason says why a size that recurs has no one count.
type Reason int

const (
	NoRoom     Reason = iota // fixed lines and what lies between leave no room
	OtherSizes               // other sizes that recur want it otherwise
)

// Channels returns the best channels of the lines: those of the problem that the
// package comment states. Lines that are their own mirror image stay so, unless sizes
// that recur hold them to fixed lines that their axis cannot share: then regular is
// better than symmetric. Nothing that is given is changed.
func Channels(p Problem) Answer {
	if p.Tied == nil {
		p.Tied = near.NewSets(len(p.Lines))
	}
	if sym, is := symmetryOf(p.Lines); is {
		a, twice, ok := sym.chooseSymmetric(p)
		if ok && !(a.aside && a.reachesFixed(p.Lines)) {
			a.Mirror = &Mirror{Before: sym.centre, Twice: twice}
			return a
		}
	}
	return chooseChannels(p)
}
