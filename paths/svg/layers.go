package svg

import (
	"strings"

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

// groupName returns what a group is called as a layer: its label, else its id.
func groupName(n *node) string {
	if n == nil {
		return unlayered
	}
	if label := strings.TrimSpace(n.anyAttr("label")); label != "" {
		return label
	}
	if id := n.attr("id"); id != "" {
		return id
	}
	return unlayered
}
