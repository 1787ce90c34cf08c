package proof

// Colours of the picture. The bright ones are from Okabe and Ito, "Color
// Universal Design" (2002, rev. 2008); the rest are near-greys that differ in
// lightness.
const (
	vermillion  = "#d55e00"
	bluishGreen = "#009e73"
	orange      = "#e69f00"
	blue        = "#0072b2"

	paper        = "#ffffff"
	darkText     = "#1f1b16"
	quietText    = "#5b544b"
	cloth        = "#faf6ec" // the backing, unbleached
	rugGround    = "#fffdf8"
	rugBand      = "#e3cba3" // the edge of the rug: a band wider than any line on it
	band         = "#f3b08c" // along lines that break a limit
	numberColour = "#0b5d7a"
	rugName      = "#8a6a3c"
	clothEdge    = "#6e665b"
	reachEdge    = "#4d6f8c"
	weaveLight   = "#cfc5b1"
	weaveTenth   = "#b3a68b"
)

// Line widths and lengths of the picture, in em. An em is the text size, which
// grows with the scene.
const (
	titleSize    = 1.7
	sideSize     = 1.15
	bodySize     = 1.0
	labelSize    = 0.85
	numberSize   = 0.7
	leading      = 1.4 // from base line to base line, in sizes of the text
	pagePad      = 2.0
	pageLeast    = 44.0 // narrowest page, so that words have room
	inkLeast     = 0.085
	inkOnPicture = 0.7 // as a share of its width
	travelWidth  = 0.075
	edgeWidth    = 0.1
	arrowLength  = 0.7
	markerSize   = 0.42
)

var (
	clothDash  = []float64{0.9, 0.45}
	reachDash  = []float64{1.3, 0.35, 0.18, 0.35}
	travelDash = []float64{0.28, 0.3}
)

// times returns a dash pattern in mm.
func times(pattern []float64, em float64) []float64 {
	out := make([]float64, len(pattern))
	for i, v := range pattern {
		out[i] = v * em
	}
	return out
}

// rugLook is a band that shows on both sides of a line of the given width drawn
// on it, such as a border.
func rugLook(em, line float64) look {
	return look{stroke: rugBand, width: line + 2.5*edgeWidth*em, round: true}
}

func backingLook(em float64) look {
	return look{stroke: clothEdge, width: edgeWidth * em, dash: times(clothDash, em)}
}

func machineLook(em float64) look {
	return look{stroke: reachEdge, width: edgeWidth * em, dash: times(reachDash, em)}
}

func travelLook(em float64) look {
	return look{stroke: orange, width: travelWidth * em, dash: times(travelDash, em)}
}
