// Package snap puts the straight parts of a design into the channels of a weave
// and carries everything else along. [Strokes] is all there is to call; its
// comment lists what it promises.
//
// The straights are found, one whole number, a channel, is chosen for each so
// that sizes that repeat stay equal and lines and spacings change as little as can
// be, and then the design is redrawn. The choice is an optimum; the sections below
// state the problem and prove that.
//
// The package is not for cloth that is stretched: it works in the drawn frame,
// where the weave is as its count says, and [weftplot/paths/weave/cloth] carries the
// result to the machine. It makes no borders; their lines come in as
// [Options].Fixed.
//
// The cost grows about as n log n in the curves to find and carry straights, and
// with the number of straights and of pairs that see each other, a little faster
// than linear, for choosing channels; ten thousand stems are a matter of a second.
// Everything is a pure function.
//
// # What is a straight
//
// A straight is a part of a stroke that the designer meant as a straight line on
// the weave. It is a line, or several that follow one another, in short lengths
// even with a hand's wobble, or a flat curve. As a whole it lies within the angle
// of the weave and is at least three channels long, and its vertices keep within
// a quarter of a channel of its chord. A part of a longer curve is none, though
// it passes upright. Of two straights that cross or fork, the more leaning one is
// left as it is, since one channel would make one line of both.
//
// # The problem that is solved
//
// Each axis is a problem of its own. Its variables are whole numbers: a channel for
// each bundle of straights, and a count for each size that recurs. Straights are
// one bundle when they share a vertex, when they touch, when they lie at the same
// place to 1e-4 channel, or when they nearly continue each other: a tenth of a
// channel from one to the next, a quarter in all, gaps of up to 12 channels. With
// a[r] the mean place of straight r in channels, L[r] its length, k[r] the channel
// of its bundle, the cost is
//
//	sum over straights   L[r] · (k[r] - a[r])²
//	+ sum over pairs     L[r,s] · ((k[s]-k[r]) - (a[s]-a[r]))²
//
// over the pairs of straights that see each other across empty cloth, along a
// length L[r,s]. The second sum is for changed spacings. The bounds are
//
//   - fixed lines keep their channels, and so do lines whose channel a person names;
//     where the other bounds leave it no room there, nothing is chosen;
//   - straights that come within 16 channels of each other along their length keep
//     their order, k[s] >= k[r] for a[s] > a[r];
//   - all lines keep to the room, and the outermost ones of a motif as far inside
//     it as what of the motif lies beyond them;
//   - straights that overlap and lie more than half a channel apart keep a channel
//     between them, k[s] >= k[r]+1;
//   - every place of a size that recurs has the count of that size, k[s]-k[r] = q,
//     with q at least 1 and less than a channel from the size, or a sixteenth of it
//     where that is more;
//   - straights that a figure of diagonals ends on keep the spacings that it needs, so
//     many times its ratio with one count both ways (diagonal_needs.go); each figure's as
//     a whole or not at all;
//   - no line moves more than 8 channels, and one more for each place of a size
//     that recurs: far enough for all of them to be even.
//
// A place of a size is the spacing of two straights that see each other and overlap
// by half their length or more, of two that follow each other within a motif (what
// hangs together by vertices and touches), or of the first straights of two equal
// motifs that follow each other in a row. Sizes are one size when they are the same
// to a fiftieth of a channel. A size recurs when it stands in two places or more
// within equal motifs, or so often that chance does not explain it (byChance).
// Strokes that are loose have no part in it.
//
// The bounds are taken in, in this order, as long as they can all be kept at once,
// and the sizes that recur by their number of places: each with the nearest count
// that fits those before it, or, where none does, with what a search for other
// counts of those before finds (repair). What was taken in is the problem.
//
// A size that cannot be taken in gets the most regular pattern: with d the size, or
// the mean spacing where both ends of a chain of places are fixed, the i-th line of
// the chain lies at floor(i·d + phase). Such a word is balanced: any two runs of as
// many spacings differ by one channel at most (Lothaire, Algebraic Combinatorics on
// Words, 2002, chapter 2), so the counts differ by one and are spread evenly. Of
// eight phases the first that fits becomes a bound.
//
// In a design that is its own mirror image, the axis lies in a channel or midway
// between two: twice its place is a whole number C, and k of a straight and of its
// image add up to C. For each of the four C nearest to the drawn axis, the left
// half is a problem of the same form: the image's terms equal the straight's own, the
// spacings across the axis become terms of single straights, a size that stands
// across the axis asks C-2k = q, which only a q of C's parity can keep, and a straight
// more than half a channel from its image must keep k <= (C-1)/2; by order, that
// keeps it from the images of all others. The C that loses the fewest places is the
// answer, and of those the cheapest.
//
// # Why the answer is an optimum
//
// Let first all counts be given, or only limits to them, lo <= k[s]-k[r] <= hi for
// each place by itself. Write g(k) for the cost, infinite where a bound is broken. Each term and each
// bound is a convex function of one variable or of the difference of two. So for
// any two choices p and q and any whole number n >= 0, with - and + for all
// variables at once, ∨ and ∧ for the greater and the lesser in each,
//
//	g((p-n) ∨ q) + g(p ∧ (q+n)) <= g(p) + g(q)            (1)
//
// Take a term of one variable: where p-n <= q the two values on the left are q
// and p, elsewhere p-n and q+n, which lie between p and q and have their sum. Take
// a term of k[s]-k[r]: where both variables are of the one case or both of the
// other, the two differences are those on the right; where s is of the second
// case and r of the first they are p[s]-n-q[r] and q[s]+n-p[r], which lie between
// the two on the right and have their sum. Convexity does the rest: g is
// L-natural-convex (Murota, Discrete Convex Analysis, SIAM 2003, chapter 7).
//
// Let k be such that no set of variables lowers g by moving by +1 together, nor
// any by -1, and suppose some q has g(q) < g(k). Of all such q take one whose
// greatest distance from k, m, is least, and say that somewhere q > k; the other
// case is the same upside down. Let S be the set where q-k is m, the greatest
// upward distance. Then (1) for q and k, with n = m-1, reads
//
//	g(q) + g(k) >= g(k + 1 on S) + g(q - 1 on S)
//
// for the greater is k+1 on S and k elsewhere, and the lesser is q-1 on S and q
// elsewhere. The first on the right is at least
// g(k), so g(q - 1 on S) <= g(q) < g(k). Repeat this for every upward distance,
// and its counterpart for every downward one: each lowers a greatest distance by
// one without raising g, until q is k, which contradicts g(q) < g(k). So k is an
// optimum.
//
// The best set to move is a least cut of a network with a node for each variable
// (Picard and Ratliff, Networks 5 (1975) 357-370), and the search moves best sets
// until there is none either way. Places are rounded to 1/65536 of a channel and
// lengths to 1/64, so all that is compared is a sum of whole numbers and nothing
// depends on rounding or on the order of the strokes' arithmetic. The start keeps
// the bounds and lies halfway between one pushed up by them and one pushed down,
// so the cuts are few: as many as an optimum is channels away, and one more each
// way.
//
// The counts are found by branch and bound (search). A node gives limits to every
// count. Its problem, in which each place keeps the limits by itself, has all
// answers with one count a size among its own, so its optimum is a lower bound for
// them. Where the places of every size agree in it, it is itself such an answer, and
// the best of the node. Where they do not, the limits of one size are parted in two,
// which loses no answer. A node that is no better than the best answer so far is left.
// Limits are finite, so this ends, and then nothing is better.
//
// It may take long where many sizes hang on each other, so the work is bounded, in
// variables and arcs looked at (searchWork). When it is used up, the best answer so
// far stands: one that keeps every bound, that is the optimum for its own counts, and
// begins as the one whose counts are nearest to their sizes. chosen.proved tells the
// two apart.
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
// what lies in equal motifs gets one place beside their straights.
//
// Slanting lines within the angle of one over one, one over two, two over one, or within
// half of it of one over three, two over three and their like, at least four channels
// long and no part of a curve, are meant to go through holes (diagonal.go). They are surely
// meant within half a degree of their ratio, in channels or in mm as a person draws on
// paper, in a design of which half the slanting lines or more are. Lines that hang together
// by such are a figure; [weftplot/paths/weave/holes] states the problem of one. Where its
// ends lie on straights and it is surely meant, the channels are chosen with what it needs,
// kind by kind: for each of a few counts near its size the choice is made anew, and the one
// that most figures of the kind get is taken, of those the cheapest. None is taken with
// which other sizes that recur lose places or a symmetric design its symmetry. This is no
// optimum over all kinds at once, and it ends when channels were chosen for 8000 straights.
//
// Then the figures are put on crossings. Lines of one length get one count all over the
// design; the counts that most figures of a kind have a place with are taken, and of
// those the ones with the least moves. A figure keeps its place to all that is round it.
// Its corners move by 1.25 channels each way at most, or by 4 where nothing else hangs on
// it, or by a twelfth of its size where it is surely meant. In a design that is its own
// mirror image the figures are too; its middle, where no straight says, moves by half a
// channel to where most of them have a place in the room. Figures for which that cannot be
// are left where they are, and told if they are surely meant.
//
// Rings, discs and other closed shapes without lines on the weave move whole
// (whole.go): by what the maps say of their middle, or up to 0.7 channel from there,
// where everything round them keeps to its side of them. A shape that lies over
// straights may come to lie over more or fewer of them. Where there is no such place
// it is bent, and told.
package snap
