// Package plot makes a job: one pipeline from a design and profiles to programs
// for a plotter, with the proofs, the report and the sheet that go with them.
//
// [Make] runs the whole pipeline, and each step of it stands in a file of its
// own: layout.go (scale), side.go (mirror), then border and snap from
// paths/weave, join and order from paths/order, registration from paths/weave,
// lines and arcs from plot/fit (runs.go), build.go (feeds and blocks), language.go (write
// and read), verify.go (the programs' own bytes read back and judged).
//
// Nothing here opens a port. [WriteFolder] alone touches the disk.
package plot
