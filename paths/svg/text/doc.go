// Package text sets text in fonts and returns the outlines of its letters, by
// the rules of SVG 2, Text, for horizontal lines that do not break: characters
// with places of their own, chunks between them that an anchor moves as wholes,
// and runs of one look that are shaped together, so that kerning, ligatures and
// joined scripts come out as in print.
//
// [Load] reads the fonts, [LayOut] puts the letters in their places, and
// [Glyph.Outline] draws one of them. Lengths are in the user's units with y down,
// as in SVG; each letter's outline is mapped from its font's units by [Glyph.Map].
//
// It is not for text that runs downwards, that follows a path or that is broken
// into lines, nor for fonts of pictures, which have no outlines. It knows nothing
// of documents or style sheets: looks and places are its input.
//
// Time and memory grow with the number of characters, and with the outlines of
// those that are drawn. The library that shapes the text panics on some damaged
// fonts; that is reported as an error of the text.
package text
