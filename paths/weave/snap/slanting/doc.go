// Package slanting finds the rows of slanting lines that go straight on, though they be
// drawn as several, and which of them are a part of a curve, also where very many lines
// end at one vertex.
//
// It knows vertices and the lines between them, and no weave. The time grows about as n log n
// in the lines.
package slanting
