// Package live runs a simulated plotter in the time of the computer, or many times
// faster, behind a pseudo-terminal or a pipe in memory: [Serve] switches one on.
//
// A [Server] may be used by several goroutines at once.
package live
