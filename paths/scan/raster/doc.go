// Package raster reads pictures of drawings, scans and photos, from PNG, JPEG,
// TIFF, PDF, WebP, GIF and BMP files, and returns them as a [Page]: upright,
// grey, flat, with square pixels of known size in mm. Of a PDF page that holds
// lines and no picture it returns the lines.
//
// The size comes from the resolution that the file states or a person gives,
// from the width of the drawing, or from the sheet of paper in a photo, whose
// corners are found and whose perspective is removed. The size that a file
// states is checked for plausibility, because many programs write a meaningless
// number.
//
// It does not look for lines, which package scan does. It does not read other
// formats, and reads one page of a file that has several.
//
// A header is checked before any pixel is read, so that a small file cannot ask for
// more memory than a large sheet needs. Time and memory grow with the pixels: at
// most 150 million, of one to eight bytes each. Advice in errors names settings in
// square brackets, such as [dpi].
package raster
