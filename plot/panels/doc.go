// Package panels plans a rug that is larger than the machine: which part of each stroke is
// drawn in which load ([Divide]), and what a person finds on the cloth before each load
// ([Plan.Points]).
//
// A load is one laying of the cloth on the machine, its window the part of the rug that
// the machine is sure to reach then. A stroke is cut where no window holds all of it; at a
// joint the two parts of a cut stroke go past each other by the lap, so that no gap shows.
//
// Everything is a pure function, in mm of the frame drawn and in channels of its weave.
// The package knows no machines, files or pens: how much a window holds is told to it.
package panels
