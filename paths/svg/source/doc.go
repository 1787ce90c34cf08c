// Package source turns the bytes of an SVG file into text to be parsed: it unpacks
// gzip, finds the encoding and turns it into UTF-8 ([Decode]), and puts what the entities
// of the document type stand for in their places ([ExpandEntities]).
//
// It parses no elements, and looks for nothing outside the file. Time and memory are
// bounded by the limits that are given.
package source
