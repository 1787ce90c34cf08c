package job

import (
	"slices"
	"strconv"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
)

// WordsHeight is the height of words where none is said.
const WordsHeight = "9rows"

// Places of words inside the border.
const (
	WordsTop    = "top"
	WordsBottom = "bottom"
)

// Letters returns the alphabet of words. An unknown one is a [fault.Input].
func (s Settings) Letters() (letters.Alphabet, error) {
	if s.Alphabet == "" {
		return letters.Alphabet{}, nil
	}
	a, err := letters.Named(s.Alphabet)
	return a, fault.At("alphabet", err)
}

// WordsPlaces returns the ends of the rug that have words: none without words. A
// place that is none is a [fault.Input].
func (s Settings) WordsPlaces() ([]string, error) {
	if s.Words == "" {
		return nil, nil
	}
	if s.WordsAt == "" {
		return []string{WordsBottom}, nil
	}
	var out []string
	for _, p := range strings.Split(s.WordsAt, ",") {
		p = strings.TrimSpace(p)
		if p != WordsTop && p != WordsBottom || slices.Contains(out, p) {
			return nil, fault.Bad("words-at", "write bottom, top, or top,bottom", "%q is no place for words", s.WordsAt)
		}
		out = append(out, p)
	}
	return out, nil
}

// WordsRows returns the height of the words in rows of a weave. What is no height, or
// one that the alphabet is not drawn in, is a [fault.Input].
func (s Settings) WordsRows(g weave.Grid) (int, error) {
	a, err := s.Letters()
	if err != nil {
		return 0, err
	}
	rows, err := letters.RowsOf(or(s.WordsHeight, WordsHeight), g)
	if err == nil {
		err = a.CheckHeight(rows)
	}
	return rows, fault.At("words-height", err)
}

// WordsMove returns by how many channels the words are moved from their place, to the
// right and up as the front of the rug shows them. What is no move is a [fault.Input].
func (s Settings) WordsMove() (right, up int, err error) {
	if s.WordsShift == "" {
		return 0, 0, nil
	}
	x, y, ok := strings.Cut(s.WordsShift, ",")
	right, errX := strconv.Atoi(strings.TrimSpace(x))
	up, errY := strconv.Atoi(strings.TrimSpace(y))
	if !ok || errX != nil || errY != nil || max(right, -right, up, -up) > 1e5 {
		return 0, 0, fault.Bad("words-shift", `write rows of holes to the right and up, such as "4,0" or "0,-1"`, "%q moves nothing", s.WordsShift)
	}
	return right, up, nil
}

// validateWords checks what is said of words and can be judged by itself.
func (s Settings) validateWords() error {
	a, err := s.Letters()
	if err != nil {
		return err
	}
	if s.Words == "" {
		return nil
	}
	if err := a.Check(s.Words); err != nil {
		return fault.At("words", err)
	}
	if rows, err := s.BorderRows(); err == nil && rows == nil {
		return fault.Bad("words", "give the rug a border: [border] edge", "words stand inside a border, and there is none")
	}
	if _, err := s.WordsPlaces(); err != nil {
		return err
	}
	_, _, err = s.WordsMove()
	return err
}
