// Package web numbers the ends of strokes, so that those at one place are one vertex, and
// finds the points that lie beside straights, also where very many lines lie on one line
// ([Cover]), run close beside each other ([Bundles]) or meet in one point ([Fan]).
//
// It knows strokes and the two axes of a weave, and no channels. All lengths are mm.
package web
