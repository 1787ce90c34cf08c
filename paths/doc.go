// Package paths holds the geometry of a design: points, curves, strokes and
// layers, lengths with their units, and the affine maps between frames.
//
// All lengths are millimetres, all angles radians unless a name says otherwise,
// and y points up. Everything here is a value or a pure function: nothing reads
// a file, a clock or a global, and no function changes its input.
//
// A curve is one of a closed set of kinds: [Line], [Arc] and [Cubic]. A
// [Stroke] is a chain of curves that the pen draws without lifting.
//
// The package does not read designs, join or order strokes, or know the weave;
// packages below it do. The time of a function grows linearly with the curves
// that it is given, unless its comment says something else.
//
// A design goes through five frames in one direction, each changed in one place:
//
//	design   as read
//	rug      the finished rug from its front, scaled; origin at its lower left corner
//	drawn    the face the pen draws on: the rug frame, mirrored or not
//	weave    (across, along) in channels; package paths/weave
//	machine  mm on the plotter, as the machine counts them
package paths
