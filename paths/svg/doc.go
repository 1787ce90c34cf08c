// Package svg reads line work from SVG files, as Scalable Vector Graphics (SVG)
// 2 describes them and drawing programs write them, and writes designs as SVG.
//
// A pen draws lines, so what is read of a shape is its geometry: the centre
// line of a stroked shape, the outline of one that is only filled, or, with
// [Options.Unite], the edges that are seen where fills lie over one another. Text
// is read as the outlines of its letters where a font is given.
//
// Clip paths are applied, and masks that are all black and white: strokes are cut, and of
// a fill the outline of what is seen of it is read.
//
// It is not for pictures: gradients, masks with shades, filters, markers, bitmaps and
// text without a font are not line work, and the package neither fills nor traces.
// Each is listed in the notes of the design with its element and line, never
// dropped in silence.
//
// A file is read in steps: bytes become text (package source), text a tree of elements
// (tree.go), package css works out the style of each, and one walk (walk.go) draws
// shapes with a [shape.Pen] in page millimetres, y down. The y axis is turned once, at the
// end, in place.go. The shapes of a large file are drawn ahead on other cores, while the
// tokens are read (ahead.go); what comes of it is the same for any number of cores.
//
// Time and memory grow with the file and with the copies that its use elements
// make; cutting by clip paths and masks and matching style rules can cost more, and have
// bounds of their own. Everything else is bounded by [Options].
package svg
