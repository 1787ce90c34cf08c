package bench

import (
	"fmt"
	"maps"
	"path/filepath"
	"strings"

	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/plot"
	"weftplot/plot/job"
)

// setWords sets what is said of words in single-line letters.
func (j *task) setWords(key, value string) error {
	s := &j.settings
	switch key {
	case "words":
		s.Words = value
	case "alphabet":
		_, err := letters.Named(value)
		s.Alphabet = value
		return err
	case "words-at":
		s.WordsAt = value
	case "words-height":
		s.WordsHeight = value
	case "words-shift":
		s.WordsShift = value
		_, _, err := s.WordsMove()
		return err
	default:
		return fault.Bad("", "", "there is no setting of this name")
	}
	return nil
}

// wordsValues adds to v what the fields of the words hold.
func (j *task) wordsValues(v map[string]string) {
	s := j.settings
	or := func(v, d string) string {
		if v == "" {
			return d
		}
		return v
	}
	v["words"], v["alphabet"] = s.Words, or(s.Alphabet, letters.Alphabet{}.Name())
	v["words-at"], v["words-height"], v["words-shift"] = or(s.WordsAt, job.WordsBottom), or(s.WordsHeight, job.WordsHeight), or(s.WordsShift, "0,0")
	v["words-place"] = j.wordsPlace()
}

// wordsPlace says where the words of the settings stand, as the front shows them.
func (j *task) wordsPlace() string {
	var says []string
	for _, w := range j.sketch.Words {
		if w.Layer != plot.WordsLayer || w.Text != j.settings.Words {
			continue
		}
		left, right := w.Lo.Across, j.sketch.Layout.NX-w.Hi.Across
		if j.sketch.Mirrored {
			left, right = right, left
		}
		says = append(says, fmt.Sprintf("%d rows high, %g rows from the left edge, %g from the right, %g from the bottom", w.Height, left, right, w.Lo.Along))
	}
	if len(says) == 0 {
		return ""
	}
	return "The words stand " + strings.Join(says, "; and ") + "."
}

// useFont draws the text elements of the drawing as the outlines of a font.
func (b *bench) useFont(name string, data []byte) error {
	ext := strings.ToLower(filepath.Ext(name))
	if ext != ".ttf" && ext != ".otf" {
		return fault.Bad(filepath.Base(name), "choose a file that ends in .ttf or .otf", "this is no font file")
	}
	return b.change(func(j *task) error {
		held := maps.Clone(j.bytes)
		held["font"+ext] = data
		j.bytes, j.read = held, reader(held, j.dir)
		j.settings.Font = []string{"font" + ext}
		return nil
	})
}

// noFont draws the text elements of the drawing in single-line letters.
func (b *bench) noFont() error {
	return b.change(func(j *task) error { j.settings.Font = nil; return nil })
}

// hasText reports whether a font could change how the drawing's own words are drawn.
func (j *task) hasText() bool {
	if len(j.settings.Font) > 0 {
		return true
	}
	for _, w := range j.sketch.Words {
		if w.Layer != plot.WordsLayer {
			return true
		}
	}
	for _, d := range j.sketch.Doubts() {
		if d.Code == "words-left-out" {
			return true
		}
	}
	return false
}
