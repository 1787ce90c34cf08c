// Package css works out the style of a document's elements: attributes, style
// sheets and style attributes go in as text, and a computed [Style] comes out.
//
// A [Cascade] holds the rules of the style sheets. It sees the document through
// the small interface [Element], so it needs no parser of documents, and keeps
// what it computes for an element in that element's [State]. It follows CSS
// Cascading 4, Selectors 4 (type, class, id and attribute selectors, structural
// pseudo-classes, :not, :is, :where and the four combinators), CSS Custom
// Properties 1 and calc() of CSS Values 3. It knows only properties that affect
// lines, listed in a table in property.go.
//
// It is not a general style engine: other properties, media with conditions,
// layers, imports and selectors of states such as :hover are left out, with a note
// where they might matter.
//
// Matching looks only at rules that ask for an element's id, class or type, and
// tries every ancestor or sibling that a combinator allows. A hostile file can
// make that grow as elements times rules times depth, so it is counted, and
// reading halts after 20 million tests; custom properties are counted with it.
package css
