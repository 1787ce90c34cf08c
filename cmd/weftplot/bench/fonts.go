package bench

import (
	"maps"
	"net/http"
	"path/filepath"
	"strings"

	"weftplot/paths/fault"
	"weftplot/plot"
)

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

func (b *bench) postFont(w http.ResponseWriter, r *http.Request) (any, error) {
	if r.URL.Query().Has("none") {
		return nil, b.noFont()
	}
	data, err := b.upload(w, r)
	if err != nil {
		return nil, err
	}
	return nil, b.useFont(r.URL.Query().Get("name"), data)
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
