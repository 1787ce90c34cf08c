// Package rings tells how polylines and points lie to closed shapes: on their edges,
// across them, inside or outside.
//
// A shape is its edge, flattened: rings, each with its box, so that most of a large shape is
// passed over without a look at its sides. Everything is a pure function.
package rings
