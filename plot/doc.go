// Package plot makes a job: a pipeline from a design and profiles to programs for
// a plotter. [Make] runs all of it. Each step is a function from a value to a new
// value, and can be called alone:
//
//	Lay       the design at its finished size, mirrored or not   Laid
//	Snap      straight lines in the channels of the weave        Snapped
//	Join      as few strokes as can be                           Joined
//	Register  all of it on the machine                           Registered
//	Order     for each pen the least travel                      Ordered
//	Fit       lines and arcs; the ways of a blade's holder       Fitted
//	Write     the text of each program                           Written
//	Verify    read back and judged                               Job
//
// Each value holds the one before it, and none is changed once it is returned. A
// [Job] can come from [Verify] only: no program is let out that does not read back
// to what was asked for.
//
// The settings and inputs are in plot/job, the report, sheet and pictures of a job
// in plot/report. Nothing here reads or writes a file, opens a port or says what
// time it is: the same inputs give the same bytes.
//
// # Cost
//
// Joining, fitting, writing and reading back grow about linearly with the number
// of curves. Snapping grows with the number of straight lines that can influence
// one another. The search for a short order takes most of the time; its effort is
// a setting. A cancelled context ends each step soon, except for what [Make] says.
package plot
