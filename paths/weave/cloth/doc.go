// Package cloth is for measuring a real piece of backing as it lies on a
// machine, stretched, leaning and bowed: counts made by hand, marks, and the
// registration fitted to them.
//
//   - [Measure] turns a count made by hand into one for a profile and says how
//     far it can be trusted.
//   - A [Mark] is a place on the weave and where the machine finds it;
//     [ParseMarks] and [FormatMarks] read and write the file of them.
//   - A [Survey] collects marks one by one, proposes the one that helps most, and
//     says where it is expected.
//   - [Fit] fits a [Registration], the map from weave to machine, to marks, and
//     refuses those that cannot be right; [Nominal] is the one without any. Its
//     [Report] says how the cloth lies and how far lines may be off.
//   - A [Plan] chooses marks before any is read, for the error at places that
//     matter, such as the joints of two loads.
//
// # The error to expect
//
// A map is a flat map and a sum of shapes: products of Legendre polynomials, and of
// differences of them that vanish on the edges. A [Prior] says how large each usually
// is, for kinds of cloth that bow more or less, evenly, more to one edge, or most half
// way. Marks read the map with normal noise, whose size is learnt too. What the marks
// tell is the probability of every map (Bayesian linear regression, averaged over
// kinds of cloth and sizes of noise). The fitted map is the mean; the error to expect
// comes from maps drawn at random from what is left uncertain, so that a bow which no
// mark can see counts with its usual size. A mark is called wrong only where all marks
// are ten thousand times likelier with it wrong than with none.
//
// The package does not move a machine or look through a camera: it is given what
// was found. It does not choose channels, which is [weftplot/paths/weave/snap].
//
// Distances are mm on the machine unless something else is said, and places are
// in channels. A fit takes time linear in the number of marks, about a thousand
// factorings of a matrix of 21 rows; a thin-plate spline takes time that grows
// with the cube of its marks, at most 150. Everything is a pure function: random
// draws are the same each time.
package cloth
