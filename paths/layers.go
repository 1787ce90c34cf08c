package paths

import (
	"fmt"
	"slices"
	"strings"
	"weftplot/paths/fault"
)

// Without returns the design without the layers of these names, and notes how
// much was left out of each. A name that no layer has is a [fault.Error] that lists
// the layers.
func (d Design) Without(names []string) (Design, error) {
	for _, name := range names {
		if !slices.ContainsFunc(d.Layers, func(l Layer) bool { return l.Name == name }) {
			return Design{}, fault.Bad(d.Name, "the layers are "+d.layerNames(), "there is no layer called %q to skip", name)
		}
	}
	var kept []Layer
	d.Notes = slices.Clone(d.Notes)
	for _, l := range d.Layers {
		if !slices.Contains(names, l.Name) {
			kept = append(kept, l)
			continue
		}
		strokes := "1 stroke"
		if n := len(l.Strokes); n != 1 {
			strokes = fmt.Sprintf("%d strokes", n)
		}
		d.Notes = append(d.Notes, Note{Code: "layer-skipped", Message: fmt.Sprintf("The layer %q, %s, is skipped as asked.", l.Name, strokes)})
	}
	d.Layers = kept
	return d, nil
}

// layerNames lists the layers for a message.
func (d Design) layerNames() string {
	if len(d.Layers) == 0 {
		return "none: it holds no line work"
	}
	var list []string
	for i, l := range d.Layers {
		if i == 20 {
			list = append(list, fmt.Sprintf("and %d more", len(d.Layers)-i))
			break
		}
		list = append(list, fmt.Sprintf("%q", l.Name))
	}
	return strings.Join(list, ", ")
}
