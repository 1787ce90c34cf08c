// Package order decides how a drawing is drawn: which strokes are joined into
// one, so that the pen is lifted as rarely as the drawing allows, and in which
// order and from which end they follow, so that it travels as little as can be
// found.
//
// [Join] covers the drawing with the fewest trails. [Order] looks for the
// shortest tour from home through every stroke to the park position. Both are
// pure functions: the same input gives the same output, whatever the machine.
package order
