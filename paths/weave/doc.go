// Package weave puts a design on the weave of a cloth: borders counted in
// holes, lines snapped into channels, and the registration that carries the
// weave to the machine.
package weave
