// Package inspect finds the places of a drawing that a person should look at
// before it is drawn and worked: lines drawn twice, gaps nearly closed, shapes
// too small and lines too close together to be worked. [Inspect] is all there is
// to call.
//
// It looks at strokes at their finished size, as polylines within a fraction of
// what it looks for. What runs along a line is found through columns (columns.go): one set
// for each sector of directions, of all that runs along a line of that sector.
//
// It changes nothing: [weftplot/paths/join] draws doubles once and joins ends,
// and should come first, as a stroke that goes on as another is taken for two
// lines. Nor does it judge whether a design is fine enough for its backing in any
// other way than by the room that loops take; [weftplot/paths/inspect/loops] looks at
// the shapes between the lines.
//
// The time is about linear in the segments, whether they lie apart or heap up: a segment is
// held against those beside it, the nearest first, only until all is known that is to be told
// of it (heaps.go), and touches are looked for only between strokes that run along one another
// (touches.go). Where some segments cannot be told of for certain, [Result].Whole says so.
// Everything is a pure function.
package inspect
