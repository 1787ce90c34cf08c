// Package proof draws proofs: pictures of a job for a person to read at a
// glance, before any ink is on the cloth.
//
// A [Scene] says what there is to see, in millimetres of one frame with y up.
// [SVG] and [PNG] are the same picture: it is laid out once, as a short list of
// paths and texts in millimetres of the page, and written twice. The SVG keeps
// arcs and cubics as they are, keeps words as text and is at real size, so that
// it can be printed, measured and laid beside the cloth.
//
// Colour never stands alone: outlines differ in line style, pens in the shape
// of their arrowheads, and all of it is in the legend. The colours of the
// picture itself are from Okabe and Ito, "Color Universal Design" (2002,
// revised 2008); the ink has the colours of the pens.
package proof
