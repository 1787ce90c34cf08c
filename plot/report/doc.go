// Package report says what a job or a scan comes to, for people and for other
// programs: reports to be written as JSON, the sheet for the person at the frame,
// warnings, and the scenes that proofs show.
//
//   - [Of] is the report of a job, with its warnings; [Sheet], [DrawnScene] and
//     [RugScene] show the job; [Files] are all the files of its folder.
//   - [SummarizeScan] and [ScanScene] are about lines found in a picture.
//
// It lies to the right of package plot, which makes the jobs, and changes none of
// what it is given. It does not draw pictures, which plot/proof does, and writes no
// files, which plot/job does.
//
// Texts name settings in square brackets; [Options] put other names in their
// place.
//
// Cost: linear in the strokes, but for a serial line that is too slow, for which the
// programs are written again at up to six other tolerances.
package report
