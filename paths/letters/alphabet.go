package letters

import (
	_ "embed" // the sources of the alphabets
	"strings"
	"sync"

	"weftplot/paths/fault"
)

// Alphabet is one of the alphabets of this package. The zero value is plain.
type Alphabet struct{ *alphabet }

// orPlain returns a, or plain in place of the zero value.
func (a Alphabet) orPlain() Alphabet {
	if a.alphabet == nil {
		return alphabets()[0]
	}
	return a
}

// alphabet is an alphabet as read from its source.
type alphabet struct {
	name string
	// least is the fewest rows of height it is drawn in.
	least int
	// small is the x-height as a share of the height.
	small float64
	// capitals says that small letters are written as capitals.
	capitals bool
	// cut is how much a cut corner cuts off, as a share of the height.
	cut float64
	// drawings returns those of each letter, one or several for different heights. The
	// source is read when a letter is first asked for: most runs of the program write none.
	drawings func() map[rune][]drawing
}

var (
	//go:embed alphabets/plain.txt
	plainSource string
	//go:embed alphabets/counted.txt
	countedSource string
	//go:embed alphabets/round.txt
	roundSource string
)

// alphabets lists the alphabets, plain first. Each source is read once. They are part of
// the program, so an error in one is a bug.
var alphabets = sync.OnceValue(func() []Alphabet {
	read := func(name, source string, base func() map[rune][]drawing) func() map[rune][]drawing {
		return sync.OnceValue(func() map[rune][]drawing { return parseAlphabet(name, source, base()) })
	}
	nothing := func() map[rune][]drawing { return nil }
	plain := read("plain", plainSource, nothing)
	return []Alphabet{
		{&alphabet{name: "plain", least: 7, small: 0.68, drawings: plain}},
		{&alphabet{name: "counted", least: 5, small: 1, capitals: true, cut: 0.17, drawings: read("counted", countedSource, nothing)}},
		{&alphabet{name: "round", least: 7, small: 0.64, drawings: read("round", roundSource, plain)}},
	}
})

// parseAlphabet reads a source; letters it does not draw come from base.
func parseAlphabet(name, source string, base map[rune][]drawing) map[rune][]drawing {
	m, err := parseSource(source)
	if err != nil {
		panic("letters: " + name + ": " + err.Error())
	}
	for r, d := range base {
		if _, own := m[r]; !own {
			m[r] = d
		}
	}
	return m
}

// Names returns the names of the alphabets.
func Names() []string {
	var names []string
	for _, a := range alphabets() {
		names = append(names, a.name)
	}
	return names
}

// Named returns the alphabet of a name. The error for an unknown one is a
// [fault.Error] of kind [fault.Input].
func Named(name string) (Alphabet, error) {
	for _, a := range alphabets() {
		if a.name == name {
			return a, nil
		}
	}
	return Alphabet{}, fault.Bad("", "write one of "+strings.Join(Names(), ", "), "there is no alphabet %q", name)
}

// Name returns the alphabet's name.
func (a Alphabet) Name() string { return a.orPlain().name }

// Least returns the fewest rows of height that the alphabet is drawn in.
func (a Alphabet) Least() int { return a.orPlain().least }

// Covers reports whether the alphabet writes r.
func (a Alphabet) Covers(r rune) bool {
	if r == ' ' || r == '\u00a0' {
		return true
	}
	_, ok := a.orPlain().spell(string(r))
	return ok
}

// at returns the drawing of r for height h, preferably one made for that
// height.
func (a *alphabet) at(r rune, h int) (drawing, bool) {
	var best drawing
	found := false
	for _, d := range a.drawings()[r] {
		any := d.lo == 0
		if any && found || !any && (h < d.lo || h > d.hi) {
			continue
		}
		best, found = d, true
	}
	return best, found
}
