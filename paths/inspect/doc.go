// Package inspect finds the places of a drawing that a person should look at
// before it is drawn and worked: lines drawn twice, gaps nearly closed, shapes
// too small and lines too close together to be worked. [Inspect] is all there is
// to call.
//
// It looks at strokes at their finished size, as polylines within a fraction of
// what it looks for, and finds what lies near what through a grid of cells.
//
// It changes nothing: [weftplot/paths/join] draws doubles once and joins ends,
// and should come first, as a stroke that goes on as another is taken for two
// lines. Nor does it judge whether a design is fine enough for its backing in any
// other way than by the room that loops take; [weftplot/paths/inspect/loops] looks at
// the shapes between the lines.
//
// The time is about linear in the segments for drawings that do not heap up in
// one place, and bounded for those that do: [Result].Whole then says that not all
// was looked at. Everything is a pure function.
package inspect
