// Package deviation tells how far strokes stray from each other: [Of] from one to the
// other, [Apart] both ways, which is their Hausdorff distance, and [AreWithin] whether
// they stay within a tolerance.
//
// All distances are mm. Everything is a pure function.
package deviation
