// Package keptcloth keeps the simulated plotter's cloth in a file beside the
// program, so that a job can be taken up again after this program has ended, and
// compares it with what was asked.
package keptcloth
