// Package snap puts the straight parts of a design into the channels of a weave
// and carries everything else along. [Strokes] is all there is to call; its
// comment lists what it promises.
//
// The straights are found, one whole number, a channel, is chosen for each so
// that lines and spacings change as little as can be, and then the design is
// redrawn. The choice is an optimum; the sections below state the problem and
// prove that.
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
// Each axis is a problem of its own. Its variables are whole numbers, the
// channels of bundles of straights. Straights are one bundle when they share a
// vertex, when they touch, when they lie at the same place to 1e-4 channel, or when
// they nearly continue each other: a tenth of a channel from one to the next, a
// quarter in all, gaps of up to 12 channels. With a[r] the mean place of straight r
// in channels, L[r] its length, k[r] the channel of its bundle, the cost is
//
//	sum over straights   L[r] · (k[r] - a[r])²
//	+ sum over pairs     L[r,s] · ((k[s]-k[r]) - (a[s]-a[r]))²
//
// over the pairs of straights that see each other across empty cloth, along a
// length L[r,s]. The second sum is for changed spacings. The bounds are all of the
// form k[s]-k[r] >= c:
//
//   - fixed lines keep their channels, and no line moves more than 8;
//   - straights that come within 16 channels of each other along their length keep
//     their order, k[s] >= k[r] for a[s] > a[r];
//   - straights that overlap and lie more than half a channel apart keep a channel
//     between them, k[s] >= k[r]+1;
//   - a spacing up to 24 channels that recurs (between neighbours that overlap by
//     half their length or more, the same to a fiftieth of a channel) gets one
//     count everywhere, the nearest whole number, at least 1: k[s] = k[r]+q. So
//     a stripe stays even, and the stems of a letter as far apart as those of
//     the next.
//
// The bounds are taken in, in this order, as long as they can all be kept at
// once; those for which fixed lines leave no room are named in the warnings, as
// are stripes too wide to be kept even without moving a line by more than 3
// channels. What was taken in is the problem.
//
// In a design that is its own mirror image, the axis lies in a channel or midway
// between two: twice its place is a whole number C, and k of a straight and of its
// image add up to C. For each of the four C nearest to the drawn axis, the left
// half is a problem of the same form: the image's terms equal the straight's own, the
// spacings across the axis become terms of single straights, and a straight more than half
// a channel from its image must keep k <= (C-1)/2; by order, that keeps it from
// the images of all others. The best C is the answer.
//
// # Why the answer is an optimum
//
// Write g(k) for the cost, infinite where a bound is broken. Each term and each
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
// # How the rest follows
//
// What lies on a straight goes where the straight goes, exactly. A slanting line stays
// straight, though it be drawn as several, and what ends on it stays on it.
// Everything else is carried
// by two maps, first one of the coordinate across that leaves heights alone, then
// one of the coordinate along. Each is monotone in its own coordinate and passes
// all straights, so nothing tears and nothing changes sides; see carry.go.
package snap
