// Package letters sets words in single-line alphabets that lie on the weave.
//
// The three alphabets are our own, drawn for the weave: "plain" (upright
// letters with straight stems and round bowls), "counted" (capitals made of
// lines along channels and of diagonals that go one hole across for each hole
// along) and "round" (a half-joined upright hand). [Set] turns a text into
// strokes in mm of the drawn frame, with every letter's place on the weave.
//
// # What always holds
//
//  1. An upright or level line of a letter lies exactly in a channel.
//  2. A diagonal begins and ends in a hole, unless it ends on another stroke of
//     the letter.
//  3. A bowl is made of circular arcs in mm, whatever the count.
//  4. Equal letters are equal everywhere in a text.
//  5. A letter that is its own mirror image is so to the channel.
//  6. Two strokes of a text are at least one channel apart, unless they join.
//  7. Each letter is drawn with the fewest strokes its drawing allows.
//
// # How a letter follows from its height
//
// A letter is a list of paths between anchors. An anchor names a guide column
// and a guide row. The guide rows of an alphabet (base, waist, x-height, cap
// height and so on) are whole numbers that follow from the height in rows; the
// width of a letter is a whole number of channels that follows from the height
// in mm, so that letters keep their proportions where the count is not square.
// Widths of letters with an axis are even, so that the axis is a channel. At a
// corner that is marked round the path turns along an arc; all arcs of a path
// have the same radius, the greatest that its straight parts leave room for.
// See source.go for the notation.
//
// # Spacing
//
// The white between two letters is measured in bands of a quarter row over the
// rows that both occupy: in each band it is the distance between their edges,
// and how far an edge recedes behind the outermost point of its letter counts
// only up to a depth. The letters are put a whole number of channels apart: the
// number whose mean white is nearest to the white between two stems, which is a
// third of the height. Nowhere are they nearer than six tenths of that. See
// spacing.go.
//
// # Beside a rug
//
// A [Pose] lays a text that has been set on another weave: moved by whole channels,
// turned by quarters, mirrored as a whole. It is the door for names of copies and for
// words of a design, and keeps every straight in a channel.
//
// # Limits
//
// A mark stands over the middle of its letter, and half a channel to its left where the
// letter is an odd number of channels wide, as some of counted are. On an arc, letters
// are turned one by one; those of the joined hand are bent along it, so that they stay
// joined. Neither lies on the weave.
//
// Scripts that run from right to left, or whose letters change with their
// neighbours, cannot be written. The package does not mirror a text: a word is
// set as it reads. Setting takes time in proportion to the length of the text.
package letters
