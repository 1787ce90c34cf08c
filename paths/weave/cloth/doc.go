// Package cloth is for measuring a real piece of backing as it lies on a
// machine, stretched, leaning and bowed: counts made by hand, marks, and the
// registration fitted to them.
//
//   - [Measure] turns a count made by hand into one for a profile and says how
//     far it can be trusted.
//   - A [Mark] is a place on the weave and where the machine finds it;
//     [ParseMarks] and [FormatMarks] read and write the file of them.
//   - A [Survey] collects marks one by one and says where the next is expected.
//   - [Fit] fits a [Registration], the map from weave to machine, to marks, and
//     refuses those that cannot be right; [Nominal] is the one without any. Its
//     [Report] says how the cloth lies.
//
// The package does not move a machine or look through a camera: it is given what
// was found. It does not choose channels, which is [weftplot/paths/weave/snap].
//
// Distances are mm on the machine unless something else is said, and places are
// in channels. A fit takes time linear in the number of marks, a thin-plate
// spline time that grows with its cube, for at most 150 marks; checking for a
// mark that was miscounted takes a few hundred fits. Everything is a pure
// function.
package cloth
