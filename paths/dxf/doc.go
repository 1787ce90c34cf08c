// Package dxf reads line work from drawing interchange files (DXF), the text
// form, as its maker's published reference describes them from release 12 to
// 2018.
//
// What is read is the model as seen from above: lines, circles, arcs, ellipses,
// polylines with their bulges, splines and points, and copies of blocks of
// them. The unit is the one that the file states or a person gives.
//
// It is not for the binary form, for sheets of paper, or for text, dimensions,
// hatches and solids, which are not line work; each kind is counted in the
// notes of the design, never dropped in silence. It writes nothing.
//
// A file is read in steps: bytes become pairs of group code and value
// (pairs.go), pairs become records (record.go), records layers, blocks and
// entities (parse.go, entity.go), and one walk (walk.go) draws the model in
// millimetres. Everything before the walk is in three dimensions (space.go),
// because an entity may lie in its own plane.
//
// Time and memory grow with the file and with the copies of blocks that it asks
// for, and with the cube of the degree of splines. All are bounded by [Options].
// Advice in errors and notes names settings in square brackets, such as [units].
package dxf
