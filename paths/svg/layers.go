package svg

import (
	"strings"

	"weftplot/paths"
)

// unlayered is the layer of what stands in none of the file's own.
const unlayered = "unlayered"

// layers sorts the strokes into layers, in the order of their first strokes: by
// the layers of drawing programs (groups that say groupmode="layer" or layer="yes", under whatever prefix)
// where the file has them, else by the named groups just below the root, else
// by colour, however written. Groups of one name are one layer.
func (r *reader) layers() []paths.Layer {
	byLayer, byGroup := false, false
	for _, s := range r.drawn {
		byLayer = byLayer || s.layer != nil
		byGroup = byGroup || s.group != nil
	}
	var list []paths.Layer
	index := map[string]int{}
	for _, s := range r.drawn {
		name := ""
		switch {
		case byLayer:
			name = groupName(s.layer)
		case byGroup:
			name = groupName(s.group)
		default:
			name = s.Colour
		}
		key := name
		if !byLayer && !byGroup {
			key = canonical(s.Colour)
		}
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
