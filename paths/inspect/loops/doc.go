// Package loops finds what of a drawing cannot be worked because there is no room
// for loops: shapes that hold none, and parts that are narrower than two rows of
// them. [Inspect] is all there is to call.
//
// The lines divide the plane into faces; each is worked as a whole, so each is
// judged, whether one stroke goes round it or several. The faces are found in a
// picture of the drawing in which a row of loops is a fixed number of pixels wide,
// and so a circle, whatever the weave. Whether a face holds a loop is then decided
// against the lines themselves.
//
// What lies outside every line is the cloth round the drawing and is not judged.
// Everything is a pure function, in time linear in the pixels, whose number is
// bounded.
package loops
