// Package web numbers the ends of strokes, so that those at one place are one vertex, and
// finds vertices along lines.
//
// It knows strokes and the two axes of a weave, and no channels. All lengths are mm.
package web
