// Package web numbers the ends of strokes, so that those at one place are one vertex, and
// finds the points that lie beside straights.
//
// It knows strokes and the two axes of a weave, and no channels. All lengths are mm.
package web
