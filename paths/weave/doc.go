// Package weave is the weave of a backing as it is drawn on: the grid of channels,
// and borders counted in holes.
//
// A channel is the gap between neighbouring threads, where a straight line
// belongs. Positions on the weave are in channels ([Place]); lengths are mm of
// the drawn frame. An [Axis] names the coordinate that is fixed on a line. [Grid]
// leads from channels to mm and back, and [Border] makes the lines that a rug
// maker counts in rows of holes.
//
// What is done with a weave has rooms of its own, which import this one and which
// it does not know: [weftplot/paths/weave/snap] puts the straight parts of a
// design into channels, [weftplot/paths/weave/cloth] finds where the channels of a
// real, stretched piece of backing lie on the machine.
//
// Everything is a pure function and takes constant time, a border time in
// proportion to its lines.
package weave
