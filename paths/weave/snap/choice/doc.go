// Package choice chooses a channel for each of a set of parallel lines, so that sizes
// that recur get one count and lines and spacings change as little as can be.
// [Channels] is what to call. It is an integer programme, and the sections below state
// it and prove that the answer is its optimum.
//
// The package knows nothing of strokes, curves or cloth: a line is a place, an extent
// and a weight. [weftplot/paths/weave/snap] finds the lines in a design and redraws it.
//
// The cost grows with the number of lines and of pairs that see each other, a little
// faster than linear. Everything is a pure function.
//
// # The problem that is solved
//
// The variables are whole numbers: a channel for each bundle of lines, and a count for
// each size that recurs. Lines are one bundle when they are tied, when they lie at the
// same place to 1e-4 channel, or when they nearly continue each other: a tenth of a
// channel from one to the next, a quarter in all, gaps of up to 12 channels. With
// a[r] the place of line r in channels, L[r] its weight, k[r] the channel of its
// bundle, the cost is
//
//	sum over lines   L[r] · (k[r] - a[r])²
//	+ sum over pairs L[r,s] · ((k[s]-k[r]) - (a[s]-a[r]))²
//
// over the pairs of lines that see each other across empty cloth, along a
// length L[r,s]. The second sum is for changed spacings. The bounds are
//
//   - fixed lines keep their channels, and so do lines whose channel a person names;
//     where the other bounds leave a named line no room there, nothing is chosen;
//   - lines that come within 16 channels of each other along their length keep
//     their order, k[s] >= k[r] for a[s] > a[r];
//   - all lines keep to the room, and each within its own limits in it;
//   - lines that overlap and lie more than half a channel apart keep a channel
//     between them, k[s] >= k[r]+1, but for rows of lines that stand so close that
//     they would grow by more than four channels for it (crowding): of these, lines
//     less than a channel apart may come to share one;
//   - every place of a size that recurs has the count of that size, k[s]-k[r] = q,
//     with q at least 1 and less than a channel from the size, or a sixteenth of it
//     where that is more, unless a row of such places would become longer or shorter
//     by over a third for it, and by over twenty channels;
//   - lines that a figure ends on lie so many channels apart as it needs, which goes
//     before the sizes that recur; each figure's spacings as a whole or not at all;
//   - no line moves more than 8 channels, and one more for each place of a size
//     that recurs: far enough for all of them to be even.
//
// A place of a size is the spacing of two lines that see each other and overlap
// by half their length or more, or of two that are linked. Sizes are one size when they
// are the same to a fiftieth of a channel. A size recurs when it stands in two places or
// more that surely are no chance, or so often that chance does not explain it (byChance).
// Lines that are loose have no part in it.
//
// The bounds are taken in, in this order, as long as they can all be kept at once,
// and the sizes that recur by their number of places, of as many those last that begin
// or end at fixed lines: each with the nearest count that fits those before it, or,
// where none does, with what a search for other counts of those before finds (repair).
// What was taken in is the problem.
//
// A size that cannot be taken in gets the most regular pattern: with d the size, or
// the mean spacing where both ends of a chain of places are fixed, the i-th line of
// the chain lies at floor(i·d + phase). Such a word is balanced: any two runs of as
// many spacings differ by one channel at most (Lothaire, Algebraic Combinatorics on
// Words, 2002, chapter 2), so the counts differ by one and are spread evenly. Of
// eight phases, and then of all that make a pattern of their own, the first that fits
// becomes a bound. Where none does, the counts of the chain are held to two neighbouring
// whole numbers, if they can be.
//
// In a design that is its own mirror image, the axis lies in a channel or midway
// between two: twice its place is a whole number C, and k of a line and of its
// image add up to C. For each of the four C nearest to the drawn axis, the left
// half is a problem of the same form: the image's terms equal the line's own, the
// spacings across the axis become terms of single lines, a size that stands
// across the axis asks C-2k = q, which only a q of C's parity can keep, and a line
// more than half a channel from its image must keep k <= (C-1)/2; by order, that
// keeps it from the images of all others. The C that loses the fewest places and
// figures is the answer, and of those the cheapest. Where all four lose some, and a
// choice without the symmetry loses fewer, C is looked for up to eight farther off.
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
// The best set to move is a least cut of a network with a node for each variable, or for
// several that bounds hold so many channels apart (Picard and Ratliff, Networks 5 (1975)
// 357-370), and the search moves best sets up until there is none, and then down until
// there is none. None up is left after that
// (Murota and Shioura, Exact bounds for steepest descent algorithms of L-convex
// function minimization, Operations Research Letters 42 (2014) 361-366): let no set
// gain by moving up from k, let S be a best set to move down, and suppose that a set T
// gains by moving up from k - 1 on S. With k - 1 on S + 1 on T for q, and n = 0, (1)
// reads
//
//	g(k + 1 on T\S) + g(k - 1 on S\T) <= g(k) + g(k - 1 on S + 1 on T)
//
// The first on the left is at least g(k), so moving S\T down from k is better than
// moving S down, which contradicts that S is a best set.
//
// Places are rounded to 1/65536 of a channel and lengths to 1/64, so all that is
// compared is a sum of whole numbers and nothing depends on rounding or on the order
// of the strokes' arithmetic. The start keeps the bounds and lies halfway between one
// pushed up by them and one pushed down, so the cuts are few: as many as an optimum is
// channels away, and one more each way.
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
// begins as the one whose counts are nearest to their sizes. Answer.Proved tells the
// two apart.
package choice
