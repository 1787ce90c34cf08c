package plot

import (
	"fmt"
	"strings"

	"weftplot/paths"
)

// layersOf returns the names of the layers in the order of drawing.
func layersOf(strokes []Stroke) []string {
	var names []string
	seen := map[string]bool{}
	for _, s := range strokes {
		if !seen[s.Layer] {
			seen[s.Layer] = true
			names = append(names, s.Layer)
		}
	}
	return names
}

// plain returns the strokes without their layers.
func plain(strokes []Stroke) []paths.Stroke {
	out := make([]paths.Stroke, len(strokes))
	for i, s := range strokes {
		out[i] = s.Stroke
	}
	return out
}

func boundsOf(strokes []Stroke) paths.Rect {
	r := paths.EmptyRect()
	for _, s := range strokes {
		r = r.Union(s.Bounds())
	}
	return r
}

func quoted(names []string) string {
	words := make([]string, len(names))
	for i, n := range names {
		words[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(words, ", ")
}
