// Package dxf reads line work from drawing interchange files (DXF), the text
// form, as its maker's published reference describes them from release 12 to
// 2018.
//
// What is read is the model as seen from above: lines, circles, arcs, ellipses,
// polylines with their bulges, splines and points, and copies of blocks of
// them. Text, dimensions, hatches and solids are no line work; each kind is
// counted in the notes of the design, never dropped in silence.
//
// The road of a file is one way: bytes become pairs of group code and value
// (pairs.go), pairs become records (record.go), records layers, blocks and
// entities (parse.go, entity.go), and one walk (walk.go) draws the model in
// millimetres. Everything up to there is in three dimensions (space.go), as an
// entity may lie in a plane of its own.
//
// Limits: every file is read in time and memory bounded by the [Options].
package dxf
