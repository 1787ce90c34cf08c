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
		if !slices.Contains(d.layers(), name) {
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
	var words []Words
	for _, w := range d.Words {
		if !slices.Contains(names, w.Layer) {
			words = append(words, w)
			continue
		}
		d.Notes = append(d.Notes, Note{Code: "layer-skipped", Element: w.Element, Line: w.Line,
			Message: fmt.Sprintf("The words %q are on the layer %q, which is skipped as asked.", w.Text, w.Layer)})
	}
	d.Words = words
	return d, nil
}

// layers returns the names of the layers, those that hold only words last.
func (d Design) layers() []string {
	var names []string
	for _, l := range d.Layers {
		names = append(names, l.Name)
	}
	for _, w := range d.Words {
		if !slices.Contains(names, w.Layer) {
			names = append(names, w.Layer)
		}
	}
	return names
}

// layerNames lists the layers for a message.
func (d Design) layerNames() string {
	names := d.layers()
	if len(names) == 0 {
		return "none: it holds no line work"
	}
	var list []string
	for i, name := range names {
		if i == 20 {
			list = append(list, fmt.Sprintf("and %d more", len(names)-i))
			break
		}
		list = append(list, fmt.Sprintf("%q", name))
	}
	return strings.Join(list, ", ")
}
