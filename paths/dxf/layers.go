package dxf

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/ianaindex"

	"weftplot/paths"
)

// maxLayers bounds the layers that are drawn: pens are chosen by layer, and by
// hand.
const maxLayers = 1000

// sorted returns the strokes by layer, in the order of their first strokes.
// Where all are on one layer in several colours, the colours are the layers.
func (r *reader) sorted() []paths.Layer {
	layerOf := r.layerNamer()
	var list []paths.Layer
	index := map[string]int{}
	for _, s := range r.drawn {
		name, key := layerOf(s.layer, s.Colour)
		i, ok := index[key]
		if !ok {
			if len(list) == maxLayers {
				r.halt(s.Line, s.Element, "the drawing has more than %d layers", maxLayers)
				return nil
			}
			i = len(list)
			index[key] = i
			list = append(list, paths.Layer{Name: name})
		}
		list[i].Strokes = append(list[i].Strokes, s.DesignStroke)
	}
	return list
}

// layerNamer returns how what is drawn is sorted into layers: what has the same key
// is in one layer, which has the name of the first.
func (r *reader) layerNamer() func(layer, colour string) (name, key string) {
	layers, colours := map[string]bool{}, map[string]bool{}
	for _, s := range r.drawn {
		layers[fold([]byte(s.layer))], colours[s.Colour] = true, true
	}
	for _, w := range r.kept {
		layers[fold([]byte(w.layer))], colours[w.Colour] = true, true
	}
	return func(layer, colour string) (name, key string) {
		if len(layers) == 1 && len(colours) > 1 {
			return colour, colour
		}
		return r.layerName(layer), fold([]byte(layer))
	}
}

// words returns the words that were kept, with their layers.
func (r *reader) words() []paths.Words {
	layerOf := r.layerNamer()
	var out []paths.Words
	for _, k := range r.kept {
		k.Layer, _ = layerOf(k.layer, k.Colour)
		out = append(out, k.Words)
	}
	return out
}

// layerName returns a layer's name as written in the table of layers, else as
// written in the entity.
func (r *reader) layerName(name string) string {
	if l := r.layers[fold([]byte(name))]; l != nil {
		name = l.name
	}
	return r.decoded(name)
}

// colour returns what e is drawn in.
func (r *reader) colour(e *entity, l *layer, c context) string {
	switch {
	case e.rgb >= 0 && e.rgb < 1<<24:
		return fmt.Sprintf("#%06x", e.rgb)
	case e.colour == byBlock && c.inside:
		return c.colour
	case e.colour != byLayer && e.colour != byBlock:
		return colourName(e.colour)
	case l != nil:
		return colourName(l.colour)
	}
	return colourName(7)
}

// colourName returns the name of a colour's number; the first seven have names
// of their own in the DXF reference.
func colourName(n int) string {
	names := [...]string{1: "red", "yellow", "green", "cyan", "blue", "magenta", "black or white"}
	if n >= 1 && n < len(names) {
		return names[n]
	}
	return fmt.Sprintf("colour %d", n)
}

// decoded returns a name of the file as UTF-8: as written from release 2007
// (AC1021) on, before that from the file's code page.
func (r *reader) decoded(name string) string {
	ascii := strings.IndexFunc(name, func(c rune) bool { return c >= utf8.RuneSelf }) < 0
	if !ascii {
		if enc := r.codepage(name); enc != nil {
			if s, err := enc.NewDecoder().String(name); err == nil {
				name = s
			}
		}
	}
	name = strings.ToValidUTF8(name, "\uFFFD")
	return strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return ' '
		}
		return c
	}, name)
}

// codepage returns the encoding of a name that is not ASCII, nil for UTF-8. A
// file that states none is taken for UTF-8 where it can be, else for the code
// page of western Europe.
func (r *reader) codepage(name string) encoding.Encoding {
	if r.head.version >= "AC1021" && len(r.head.version) == 6 {
		return nil
	}
	page := strings.ToUpper(r.head.codepage)
	digits := strings.TrimLeft(page, "ABCDEFGHIJKLMNOPQRSTUVWXYZ_")
	label := "windows-1252"
	switch {
	case page == "" && utf8.ValidString(name):
		return nil
	case codepages[digits] != "":
		label = codepages[digits]
	case strings.HasPrefix(page, "ANSI_"):
		label = "windows-" + digits
	case strings.HasPrefix(page, "DOS"):
		label = "IBM" + digits
	}
	enc, err := ianaindex.IANA.Encoding(label)
	if err != nil || enc == nil {
		enc, _ = ianaindex.IANA.Encoding("windows-1252")
	}
	return enc
}

// codepages are those whose registered names cannot be formed from their
// numbers.
var codepages = map[string]string{"932": "Shift_JIS", "936": "GBK", "949": "EUC-KR", "950": "Big5"}
