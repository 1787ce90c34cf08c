package weave

import "weftplot/paths"

// Mark is a place on the weave and where the machine finds it.
type Mark struct {
	Place Place
	At    paths.Point // machine mm
}
