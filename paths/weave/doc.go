// Package weave is for positions on the weave of a backing: the grid of
// channels, and borders counted in holes.
//
// A channel is the gap between neighbouring threads, where a straight line
// belongs. Positions on the weave are in channels ([Place]); lengths are mm of
// the drawn frame. An [Axis] names the coordinate that is fixed on a line. [Grid]
// leads from channels to mm and back, and [Border] makes the lines that a rug
// maker counts in rows of holes.
//
// It does not move a design onto the weave or measure cloth; packages that
// import this one do: [weftplot/paths/weave/snap] puts the straight parts of a
// design into channels, [weftplot/paths/weave/cloth] finds where the channels
// of a real, stretched piece of backing lie on the machine.
//
// Everything is a pure function. Each takes constant time, except [Border],
// whose time grows with the number of lines.
package weave
