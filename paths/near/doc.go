// Package near answers questions of distance in the plane: which points are
// near a point, which belong together, and where on a curve the nearest point
// lies. The tools are kept here, so that every step of the program means the
// same by "near".
//
//   - [On] and [OnStroke] find the nearest point of a curve or a stroke.
//   - [Points] holds points in a grid of cells and finds those within a
//     distance, the nearest few, and those in a rectangle.
//   - [Curves] and [Cells] do the same for things that have an extent.
//   - [Sets] are disjoint sets, and [Unused] the places of a list that are still free.
//   - [Clusters] and [Leaders] give points that are near one another one number.
//
// # Points that are near share a number
//
// "Nearer than d" is not transitive: of three points in a row the outer two can
// be farther apart than d though each is near the middle one. There are two
// sound ways out, and this package has one function for each.
//
// [Clusters] takes the transitive closure: two points share a number when a
// chain of points leads from one to the other by steps of at most d. The answer
// does not depend on the order of the points, and any two points within d of
// one another share a number. A cluster can be wider than d. Use it to
// recognise one place that was computed several times, where d is far above
// rounding and far below any detail of the drawing.
//
// [Leaders] bounds how far anything moves: every point belongs to a leader at
// most d away, and leaders are more than d apart. The answer depends on the
// order of the points, and two points within d can belong to different leaders.
// Use it where points are moved to their leader.
//
// # Not for
//
// The package does not move, join or draw anything, and it knows nothing of
// channels or strokes' order. Where two curves cross is [paths.Crossings]; how
// far one stroke strays from another is a question for package deviation.
//
// All distances are mm. Everything is a pure function or a value that is built
// once and then only queried, and gives the same answer every time. Coordinates
// must be finite.
package near
