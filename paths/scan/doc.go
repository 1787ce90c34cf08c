// Package scan turns a picture of a pencil or pen drawing into the line work
// that a person drew: one line along the middle of each, not its two edges.
//
// [Trace] finds the lines of a page that package raster has read; package linework
// makes a design of them. Package skeleton thins the ink to a graph; this package
// finds how lines pass through its junctions, moves them to the middle of their ink,
// and fits lines, arcs and cubics.
//
// It is not for photographs, shaded drawings or colour: an area too wide for a line
// becomes its outline, and a page that is mostly dark is an error. It does not read
// lettering. What it changed or is not sure of is in [Tracing.Finds].
//
// Time and memory grow about linearly with the pixels and with the length of the
// lines; a page may have at most 150 million pixels. Results do not depend on the
// number of processors.
package scan
