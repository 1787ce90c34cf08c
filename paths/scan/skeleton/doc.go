// Package skeleton turns a picture of inked lines into a graph: the lines thinned to
// a pixel wide, as branches that run between junctions and ends.
//
// The steps are separate functions, called in this order. [EvenLight] evens out
// the light of a page, and [Blur] its grain. [Threshold] separates ink from
// paper, and [Despeckle] and [FillHoles] clean the mask. [DistancesIn] measures
// how far the ink reaches about each pixel, [Thin] and [UnitWidth] reduce it to
// its skeleton, and [GraphOf] reads the graph. [Graph.CloseSlits],
// [Graph.Bridge] and [Graph.Prune] then repair the faults of thinning and of
// the pencil.
//
// Places are in pixels, x to the right and y down, with the middle of the first
// pixel at the origin. Masks and pictures are a [Plane] each.
//
// It is not for moving lines to the true middle of their ink, rebuilding what lies
// under a junction or fitting curves, which package scan does, nor for reading
// picture files, which package raster does.
//
// Every step takes time about linear in the pixels; thinning takes time in
// proportion to the inked pixels times half the width of the ink. Results do
// not depend on the number of processors. Nothing here can fail: a page without
// ink gives an empty graph.
package skeleton
