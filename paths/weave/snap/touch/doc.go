// Package touch finds the points that lie on the middle of straights and of slanting lines,
// also where very many of these lie on one line or run close beside each other.
//
// It knows points and lines, and no strokes or channels. The time grows about as n log n in
// the points and the lines, and with the touches.
package touch

// Heap is from how many lines on one straight line on not all pairs of a line and a point on
// it are looked at, and Most is how many of them touch a point then, the longest.
const Heap, Most = 64, 4
