// Package inspect finds the places of a drawing that a person should look at
// before it is drawn and worked: lines drawn twice, gaps nearly closed, shapes
// too small and lines too close together to be worked.
//
// It looks at strokes at their finished size, as polylines within a fraction of
// what it looks for, and finds what lies near what through a grid of cells. The
// time is about linear in the pieces for drawings that do not heap up in one
// place, and bounded for those that do. Everything is a pure function.
package inspect
