// Package linework takes the line work of a page and makes a design of it.
//
// [Read] takes the lines as the file holds them, or traces the picture with package
// scan; [TraceToWidth] traces a page of which only the width of the drawing is known.
// [DesignOf] makes the design, and [Gaps] lists the open ends that face each other in
// it. It knows nothing of light and ink.
package linework
