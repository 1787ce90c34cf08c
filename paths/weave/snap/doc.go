// Package snap puts the straight parts of a design into the channels of a weave
// and carries everything else along. [Strokes] is all there is to call; its
// comment lists what it promises.
//
// The straights are found, one whole number, a channel, is chosen for each so
// that sizes that repeat stay equal and lines and spacings change as little as can
// be, and then the design is redrawn.
//
// The package is not for cloth that is stretched: it works in the drawn frame,
// where the weave is as its count says, and [weftplot/paths/weave/cloth] carries the
// result to the machine. It makes no borders; their lines come in as
// [Options].Fixed.
//
// The cost grows about as n log n in the curves to find and carry straights, and
// with the number of straights and of pairs that see each other, a little faster
// than linear, for choosing channels; ten thousand stems are a matter of a second.
// Curves are redrawn on all cores at once. Everything is a pure function, with the same
// outcome for any count of cores.
//
// # What is a straight
//
// A straight is a part of a stroke that the designer meant as a straight line on
// the weave. It is a line, or several that follow one another, in short lengths
// even with a hand's wobble, or a flat curve. As a whole it lies within the angle
// of the weave and is at least three channels long, and its vertices keep within
// a quarter of a channel of its chord. A part of a longer curve is none, though
// it passes upright. Of two straights that cross or fork, the more leaning one is
// left as it is, since one channel would make one line of both. Where straights hang on
// each other by their ends and climb so over more than a channel beside each other, as in
// a narrow zigzag, one of them is left as it is at each channel.
//
// # Which channels
//
// Each axis is chosen for by itself, in [weftplot/paths/weave/snap/choice]: lines and
// the spacings between those that see each other change as little as can be, lines
// keep their order, and every size that recurs gets one count. That package states
// the problem and proves that the answer is its optimum. Its lines are the straights
// of the axis and the fixed lines. Straights are tied when they share a vertex or
// touch. The spacings that a maker compares though other lines stand between (links)
// are those of two straights that follow each other within a motif, which is what
// hangs together by vertices and touches, and those of the first straights of two
// equal motifs that follow each other in a row.
//
// # How the rest follows
//
// What lies on a straight goes where the straight goes, exactly. A slanting line stays
// straight, though it be drawn as several, and what ends on it stays on it.
// Everything else is carried by two maps, first one of the coordinate across that
// leaves heights alone, then one of the coordinate along. Each is monotone in its own
// coordinate and passes all straights, so nothing tears and nothing changes sides;
// see carry.go. What hangs together with straights goes with them, above and below
// their ends too, as long as what else is there leaves room. In a design that is its
// own mirror image the maps are the mean of themselves and their mirror images, and
// what lies in equal motifs gets one place beside their straights, unless it would change
// sides with something there.
//
// Slanting lines within the angle of one over one, one over two, two over one, or within
// half of it of one over three, two over three and their like, at least four channels
// long and no part of a curve, are meant to go through holes (diagonal.go). They are surely
// meant within half a degree of their ratio, in channels or in mm as a person draws on
// paper, in a design of which half the slanting lines or more are. Lines that hang together
// by such are a figure; [weftplot/paths/weave/holes] states the problem of one. Where its
// ends lie on straights and it is surely meant, the channels are chosen with what it needs,
// kind by kind: for each of a few counts near its size with which the figure grows or shrinks
// by no more than 4 channels the choice is made anew, and the one
// that most figures of the kind get is taken, of those the cheapest. None is taken with
// which other sizes that recur lose places or a symmetric design its symmetry. This is no
// optimum over all kinds at once, and it ends when channels were chosen for 8000 straights.
//
// Then the figures are put on crossings. Lines of one length get one count all over the
// design; the counts that most figures of a kind have a place with are taken, and of
// those the ones with the least moves. A figure keeps its place to all that is round it.
// Its corners move by 1.25 channels each way at most, or by 4 where nothing else hangs on
// it, or by a twelfth of its size, up to 8, where it is surely meant. In a design that is its own
// mirror image the figures are too; its middle, where no straight says, moves by half a
// channel to where most of them have a place in the room. Figures for which that cannot be
// are left where they are, and told if they are surely meant.
//
// Rings, discs and other closed shapes without lines on the weave move whole
// (whole.go): by what the maps say of their middle, as far as that keeps them in the
// room, or up to 0.7 channel from there, where everything round them keeps to its side
// of them. Such shapes at the same place of equal motifs go to one place there, if they can.
// A shape that lies over straights may come to lie over more or fewer of them.
// Where there is no such place it is bent, and told.
package snap
