// Package papers makes pages as people bring them, with the lines that are
// truly on them: drawings by hand in many media, on plain and on ruled paper,
// taken by a scanner, a photocopier or a phone. It is for tests only, and
// shares no code with the tracing that it judges.
//
// A page is made in four steps. A drawing of about 64 strokes is laid out from
// motifs whose crossings, corners and closed regions are known (drawing.go). A
// hand draws it: the lines waver, ends miss a little, pressure and speed change
// along the stroke (hand.go). The medium leaves its pigment where the paper's
// tooth reaches it (medium.go), on paper that may carry rulings (ruling.go). A
// device takes the picture (scanner.go, phone.go).
//
// The same kind, size and seed give the same page.
//
// # What it leaves out
//
// Lettering, hatching and filled areas; erased and construction lines; letterheads, punched holes, folds and crumpled or curled
// sheets; paper that shows its other side through; ink that spreads along
// fibres or bleeds; rulings that bend within the sheet; sheets cut off by the
// frame, white tables, hands and other things in the picture; lenses whose
// bending is not radial, motion blur, focus that falls off across the sheet,
// automatic sharpening and the fringes of demosaicing.
package papers
