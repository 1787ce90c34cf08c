// Package join joins strokes into the fewest that draw the same: the pen is
// lifted as rarely as the drawing allows. [Strokes] is all there is to call.
//
// Strokes that nothing touches come out as they are. The others are taken apart into
// curves; lines that lie on one another are drawn once; ends that meet become the nodes of
// a graph, and what lies between two nodes is an edge. The graph is then covered with the
// fewest trails, walks that use each edge once.
//
// It is a package apart from [weftplot/paths/order], since the two ask different
// questions of the same strokes: this one is about which curves meet and has an
// exact answer, that one is about the way between strokes and has a good one.
// Joining comes before the design is put on the cloth, ordering after it, when
// it is known where the pen comes from.
//
// It is not for finding what a person should look at, which is
// [weftplot/paths/inspect], and does not close gaps wider than its tolerance. The
// time grows as n log n in the number of curves, for drawings that do not heap
// up in one place. Everything is a pure function.
package join
