package models

// The models of a stretched cloth, from the stiffest to the most pliant.
const (
	Auto        = "auto"        // as far as the marks show that the cloth bends
	Similarity  = "similarity"  // moved, turned and scaled; the ratio of the counts is trusted
	Affine      = "affine"      // each count is free, and the cloth may lean
	Bilinear    = "bilinear"    // opposite sides of different lengths
	Biquadratic = "biquadratic" // the full quadratic: bow, and counts that change over the rug
	Cubic       = "cubic"       // a bow that grows or leans to one side
	Smooth      = "smooth"      // bends anywhere, as cloth does
	ThinPlate   = "thin-plate"  // bends anywhere, by a spline
)

// Names are the names of the models, [Auto] first.
var Names = []string{Auto, Similarity, Affine, Bilinear, Biquadratic, Cubic, Smooth, ThinPlate}

// Least is the number of places each model needs.
var Least = map[string]int{Similarity: 2, Affine: 3, Bilinear: 4, Biquadratic: 6, Cubic: 10, Smooth: 3, ThinPlate: 7}
