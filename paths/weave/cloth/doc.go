// Package cloth is what is known of a real piece of backing as it lies on a
// machine, stretched, leaning and bowed: counts made by hand, marks, and the
// registration fitted to them.
//
//   - [Measure] turns a count made by hand into one for a profile and says what
//     it is worth.
//   - A [Mark] is a place on the weave and where the machine finds it;
//     [ParseMarks] and [FormatMarks] read and write the file of them.
//   - A [Survey] finds marks one by one and tells where the next is expected.
//   - [Fit] fits a [Registration], the map from weave to machine, to marks, and
//     refuses those that cannot be right; [Nominal] is the one without any. Its
//     [Report] says how the cloth lies.
//
// The package does not move a machine or look through a camera: it is given what
// was found. It does not choose channels, which is [weftplot/paths/weave/snap].
//
// Distances are mm on the machine where nothing else is said, places channels. A
// fit takes time linear in the marks, a thin-plate spline their cube, with at most
// 150 marks; checking for a mark that was miscounted takes a few hundred fits.
// Everything is a pure function.
package cloth
