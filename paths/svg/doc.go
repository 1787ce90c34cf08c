// Package svg reads line work from SVG files, as Scalable Vector Graphics (SVG)
// 2 describes them and drawing programs write them.
//
// A pen draws lines, so what is read of a shape is its geometry: the centre
// line of a stroked shape, the outline of one that is only filled, or of many
// that lie over one another the edges that are seen (unite.go). Text is the
// outlines of its letters where a font is given (text.go, layout.go). Gradients,
// pictures and other text are no line work; each is listed in the notes of the
// design with its element and line, never dropped in silence.
//
// The road of a file is one way: bytes become text (decode.go), text a tree of
// elements (tree.go), style rules are laid over it (sheet.go, selector.go,
// style.go), and one walk (walk.go) draws each shape with a pen (pen.go) in
// page millimetres, y down. The y axis is turned once, at the end, in place.go.
//
// Limits: every file is read in time and memory bounded by the [Options], and
// entities that a file declares are not expanded.
package svg
