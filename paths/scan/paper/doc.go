// Package paper tells the paper of a page from what was drawn on it: printed
// rulings, and what lies round the sheet.
//
// [Rulings] finds lines, squares, triangles and dots that are printed on the whole
// sheet at an even pitch, and [Ruling.Remove] takes them out and leaves the ink that
// crosses them as it is. [Surroundings] finds what lies beyond the sheet: a table, the
// dark edge of a copy, a thumb.
//
// It is not for lines that were drawn with a ruler, however even: a ruling goes from
// side to side of the sheet, and one that covers a part of it is a drawing.
//
// Planes are evened-out light of package skeleton. Time and memory are linear in the
// pixels. Results do not depend on the number of processors.
package paper
