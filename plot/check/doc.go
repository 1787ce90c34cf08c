// Package check says what a design holds and, when its size is known, what cannot be
// drawn or worked at that size: [Design] returns it as a [Report], whose [Finding]s
// have places on the finished rug, and [Report.Scene] is its picture.
//
// It makes the job as package plot does and adds the warnings of plot/report. It
// writes no files and changes none of what it is given.
//
// Cost: that of making the job once; of a few sizes more where stripes come out
// uneven.
package check
