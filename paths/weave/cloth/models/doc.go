// Package models fits maps from the weave to the machine, from the stiffest, a
// [Similarity], to the most pliant, a [ThinPlate] spline, to places that are known on
// both, by least squares, and tells how well each place is foretold by the others.
//
// Places are counted in channels, and lie in mm on the machine. Which model a cloth is
// given, and how far it can be trusted, is for package cloth. Everything is a pure
// function.
package models
