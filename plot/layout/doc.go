// Package layout finds how large a rug comes out and where its design lies in it: the
// border's room, the row of motifs along it, and the line of words inside it. [Arrange]
// does all of that from a design, the settings and the weave.
//
// It draws nothing, and knows no machine. Sizes are mm, or channels where that is said.
package layout
