// Package shape turns the geometry that SVG writes into curves: path data, the
// basic shapes, elliptical arcs, transforms, dashes, and clip paths.
//
// A [Pen] takes segments in user units, maps them to the page in mm with y down,
// and collects strokes. Lines, cubics and circles stay what they are; an ellipse
// becomes cubics within the pen's tolerance. [DrawPath] reads path data with a pen,
// [Dash] cuts strokes into dashes, and a [Clip] cuts them where it hides them.
//
// It knows nothing of elements, styles or notes; package svg handles those and
// decides which shapes are drawn.
//
// Every curve is taken from a budget, so a file cannot ask for more than its
// reader allows. Cutting looks only at the edges of a clip beside a curve; a
// curve among n edges costs from √n to n comparisons, which are counted and
// bounded too.
package shape
