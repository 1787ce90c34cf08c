package letters

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// Letter is a character in its place.
type Letter struct {
	// Text is the character as written.
	Text string
	// Line counts from 0.
	Line int
	// At is the crossing of the letter's left edge and its base line, in
	// channels from the origin of the text. On an arc it is where the letter
	// would be if the base line were straight.
	At weave.Place
	// Width is the width of the letter, in channels.
	Width int
	// Origin is where At lies in mm, on the arc if there is one, and Turn by how
	// many radians the letter is turned counter-clockwise.
	Origin paths.Point
	Turn   float64
	// First and Last number the letter's strokes: Text.Strokes[First:Last]. Letters
	// that a joined hand writes in one go have the same strokes.
	First, Last int
}

// Straight is a line of a text that lies in a channel.
type Straight struct {
	// Axis is Across for an upright line, Along for a level one.
	Axis weave.Axis
	// Channel is the channel that it lies in; From and To are its ends along
	// that, in channels; From < To.
	Channel  int
	From, To float64
	// Stroke numbers the stroke that it is a part of.
	Stroke int
}

// Text is a text that has been set. The origin is where the base line of its first
// line meets the left edge of the widest.
type Text struct {
	// Strokes are in mm, in the order of reading.
	Strokes []paths.Stroke
	Letters []Letter
	// Straights are the lines that lie in channels; none on an arc.
	Straights []Straight
	// OnWeave is false on an arc.
	OnWeave bool
	// Min and Max are the corners of the smallest box on whole channels that holds the
	// strokes, in channels.
	Min, Max weave.Place
	// Lifts is how many strokes there are.
	Lifts int
	// Notes say what was not written as asked.
	Notes []string

	grid weave.Grid // that it was set on
}

// Check returns the error that [Set] has for a text that the alphabet cannot write at
// any height.
func (a Alphabet) Check(text string) error {
	a = a.orPlain()
	split, err := lines(text)
	if err != nil {
		return err
	}
	for i, line := range split {
		for j, char := range characters(line) {
			if _, ok := a.spell(char); !ok && strings.TrimSpace(char) != "" {
				return a.missing(char, place(len(split), i, j))
			}
		}
	}
	return nil
}

// Set sets a text, of one or several lines. Errors are of type [fault.Error]: of
// kind [fault.Input] for a text or a height that cannot be set, of kind [fault.Fit]
// for one wider than Options.Most. The time grows with the length of the text.
func Set(text string, opt Options) (Text, error) { return new(Cache).Set(text, opt) }

// Cache keeps the letters that it has drawn, for many texts that are set alike. The
// zero value is empty and ready. It is not for use by several goroutines at once.
type Cache struct{ drawn map[cacheKey]*setter }

// cacheKey is what letters and their distances follow from.
type cacheKey struct {
	alphabet        *alphabet
	grid            weave.Grid
	height, spacing int
}

// Set is as the function [Set]; what it returns does not depend on what was set before.
func (c *Cache) Set(text string, opt Options) (Text, error) {
	opt.Alphabet = opt.Alphabet.orPlain()
	split, err := lines(text)
	if err == nil {
		err = opt.check()
	}
	if err != nil {
		return Text{}, err
	}
	s := c.setter(opt)
	for i, line := range split {
		if err := s.line(line, i, len(split)); err != nil {
			return Text{}, err
		}
	}
	if err := s.fits(text); err != nil {
		return Text{}, err
	}
	s.align()
	return s.text()
}

// setter returns a setter for a text, with the letters drawn so far.
func (c *Cache) setter(opt Options) *setter {
	key := cacheKey{opt.Alphabet.alphabet, opt.Grid, opt.Height, opt.Spacing}
	if c.drawn == nil {
		c.drawn = map[cacheKey]*setter{}
	}
	if c.drawn[key] == nil {
		c.drawn[key] = newSetter(opt)
	}
	s := *c.drawn[key]
	s.Options = opt
	return &s
}

// setter sets one text.
type setter struct {
	Options
	scale   scale
	spacing spacing
	glyphs  map[string][]*glyph
	pairs   map[[2]*glyph]int
	runs    map[string][]paths.Stroke
	lines   [][]placed
	notes   []string
	count   *int // of glyphs
}

// placed is a glyph of a line and its left edge, in channels.
type placed struct {
	*glyph
	text   string
	across int
	// joins says that the letter before is joined to it.
	joins bool
}

func newSetter(opt Options) *setter {
	c := scale{opt.Alphabet.alphabet, opt.Height, opt.Grid}
	return &setter{
		Options: opt, scale: c, spacing: c.spacing(),
		count: new(int), glyphs: map[string][]*glyph{}, pairs: map[[2]*glyph]int{}, runs: map[string][]paths.Stroke{},
	}
}

// line puts the letters of a line beside one another.
func (s *setter) line(line string, number, count int) error {
	var out []placed
	spaces := 0
	for j, char := range characters(line) {
		if strings.TrimSpace(char) == "" {
			spaces++
			continue
		}
		glyphs, err := s.glyphsOf(char, place(count, number, j))
		if err != nil {
			return err
		}
		if r, _ := utf8.DecodeRuneInString(char); unicode.IsLower(r) && s.scale.capitals && len(s.notes) == 0 {
			s.notes = append(s.notes, fmt.Sprintf("the alphabet %s has capitals only: small letters are written as capitals", s.scale.name))
		}
		for i, g := range glyphs {
			p := placed{glyph: g, text: char}
			if len(out) > 0 {
				before := out[len(out)-1]
				p.joins = spaces == 0 && before.exit && g.entry && s.Spacing == 0
				p.across = before.across + s.advance(before.glyph, g, spaces, p.joins)
				if !p.joins {
					p.across = s.clearOf(out, g, p.across)
				}
			} else {
				p.across = int(math.Floor(-g.profile.min)) + spaces*s.spacing.word
			}
			if i > 0 {
				p.text = "" // the second letter of one character
			}
			out = append(out, p)
			spaces = 0
		}
	}
	s.lines = append(s.lines, out)
	return nil
}

// glyphsOf returns how a character is drawn.
func (s *setter) glyphsOf(char, where string) ([]*glyph, error) {
	if g, ok := s.glyphs[char]; ok {
		return g, nil
	}
	spelled, ok := s.Alphabet.spell(char)
	if !ok {
		return nil, s.Alphabet.missing(char, where)
	}
	var out []*glyph
	for _, sp := range spelled {
		g, err := s.scale.glyph(sp)
		if err != nil {
			return nil, err
		}
		*s.count++
		g.number = *s.count
		out = append(out, g)
	}
	s.glyphs[char] = out
	return out, nil
}

// advance returns how many channels b's left edge is to the right of a's.
func (s *setter) advance(a, b *glyph, spaces int, joins bool) int {
	if joins {
		return a.width
	}
	pair := [2]*glyph{a, b}
	d, ok := s.pairs[pair]
	if !ok {
		d = s.spacing.between(a.profile, b.profile, s.Spacing)
		s.pairs[pair] = d
	}
	return d + spaces*(s.spacing.word+s.Spacing)
}

// clearOf returns the first place from across on where g is not too near to any
// letter before its neighbour: in "V.V" the second V could pass over the stop
// and touch the first.
func (s *setter) clearOf(line []placed, g *glyph, across int) int {
	for _, p := range line[max(0, len(line)-4) : len(line)-1] {
		if float64(p.across)+p.profile.max+float64(s.spacing.least) > float64(across)+g.profile.min {
			across = max(across, p.across+s.spacing.clear(p.profile, g.profile))
		}
	}
	return across
}

// reach returns how far a line's strokes reach left and right, in channels.
func reach(line []placed) (lo, hi int) {
	left, right := math.Inf(1), math.Inf(-1)
	for _, p := range line {
		left = min(left, float64(p.across)+p.profile.min)
		right = max(right, float64(p.across)+p.profile.max)
	}
	if len(line) == 0 {
		return 0, 0
	}
	return int(math.Floor(left + 1e-6)), int(math.Ceil(right - 1e-6))
}

func (s *setter) width() int {
	w := 0
	for _, l := range s.lines {
		lo, hi := reach(l)
		w = max(w, hi-lo)
	}
	return w
}

// fits refuses a text wider than Options.Most, and names the height that fits.
func (s *setter) fits(text string) error {
	w := s.width()
	if s.Most == 0 || w <= s.Most {
		return nil
	}
	do := "put it on several lines, or make the rug wider"
	// The width is nearly in proportion to the height.
	for h := min(s.Height-1, s.Height*s.Most/w+5); h >= s.scale.least; h-- {
		opt := s.Options
		opt.Height, opt.Most = h, 0
		lower := newSetter(opt)
		split, _ := lines(text)
		for i, line := range split {
			if err := lower.line(line, i, len(split)); err != nil {
				return err
			}
		}
		if lower.width() <= s.Most {
			do = fmt.Sprintf("letters %d rows high fit", h)
			break
		}
	}
	over := w - s.Most
	return fault.TooBig("", do, "the text is %d channels wide, %d more (%s) than the %d there are",
		w, over, paths.Length(float64(over)*s.Grid.Across).In(s.Said), s.Most)
}

// align moves the lines by whole channels.
func (s *setter) align() {
	w := s.width()
	for _, l := range s.lines {
		lo, hi := reach(l)
		move := -lo
		switch s.Align {
		case Centre:
			move += (w - (hi - lo)) / 2
		case Right:
			move += w - (hi - lo)
		}
		for i := range l {
			l[i].across += move
		}
	}
}
