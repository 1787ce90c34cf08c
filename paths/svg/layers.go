package svg

import (
	"regexp"
	"strconv"
	"unicode/utf8"

	"weftplot/paths"
	"weftplot/paths/svg/css"
)

// unlayered is the layer of strokes that are in none of the file's layers.
const unlayered = "unlayered"

// layerNamer returns how strokes are sorted into layers: by the layers of
// drawing programs (groups that say groupmode="layer" or layer="yes", under
// whatever prefix) where the file has them, else by the named groups just below
// the root, else by colour, however written. Strokes with the same key are in
// one layer, which has the name of the first.
func (r *reader) layerNamer() func(s inked) (name, key string) {
	byLayer, byGroup := false, false
	for _, s := range r.drawn {
		byLayer = byLayer || s.layer != nil
		byGroup = byGroup || s.group != nil
	}
	for _, k := range r.kept {
		byLayer = byLayer || k.layer != nil
		byGroup = byGroup || k.group != nil
	}
	return func(s inked) (name, key string) {
		switch {
		case byLayer:
			name = groupName(s.layer)
		case byGroup:
			name = groupName(s.group)
		default:
			return s.Colour, css.Canonical(s.Colour)
		}
		return name, name
	}
}

// layers sorts the strokes into layers, in the order of their first strokes.
func (r *reader) layers() []paths.Layer {
	namer := r.layerNamer()
	var list []paths.Layer
	index := map[string]int{}
	for _, s := range r.drawn {
		name, key := namer(s)
		i, ok := index[key]
		if !ok {
			i = len(list)
			index[key] = i
			list = append(list, paths.Layer{Name: name})
		}
		list[i].Strokes = append(list[i].Strokes, s.DesignStroke)
	}
	return list
}

// groupName returns what a group is called as a layer: the name that a person gave
// it, else its id.
func groupName(n *node) string {
	if n == nil {
		return unlayered
	}
	if name := n.peopleName(); name != "" {
		return name
	}
	if id := n.attr("id"); id != "" {
		return unescaped(id)
	}
	return unlayered
}

// escaped is a character as it is written in a name where it may not stand: by its
// number between "_x" and "_" (ISO/IEC 9075-14, 9.1).
var escaped = regexp.MustCompile(`_x([0-9A-Fa-f]{2,6})_`)

// unescaped returns an id with its escaped characters put back.
func unescaped(id string) string {
	return escaped.ReplaceAllStringFunc(id, func(text string) string {
		n, err := strconv.ParseUint(text[2:len(text)-1], 16, 32)
		if err != nil || n < ' ' || n == 0x7f || n > utf8.MaxRune || !utf8.ValidRune(rune(n)) {
			return text
		}
		return string(rune(n))
	})
}
