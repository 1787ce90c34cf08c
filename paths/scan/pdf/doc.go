// Package pdf reads from a PDF file what can become line work: the pictures of
// its pages, with their places, and the lines drawn on them.
//
// It follows ISO 32000-1. It finds the objects of a file by going through it from
// its beginning, and does not use the cross-reference table, so that damaged files
// are read as far as they are sound and offsets cannot lie; where an object comes
// twice, the later one counts.
//
// It does not set text, shade, or read encrypted files, JPEG 2000 and JBIG2.
// Clip paths are not applied, dashes are drawn whole, and optional content is
// drawn. A Page says in its notes what was left out.
//
// Everything is bounded: objects, nesting, the bytes that streams unpack to, and
// the operators of a page. Time grows with the size of the file and with what its
// streams unpack to.
package pdf
