// Package sim holds simulated plotters: a gantry whose controller takes G-code
// and acknowledges every line, and an HP-GL plotter with its handshakes. Each
// has a receive buffer of its profile's size that can be overrun, a planner
// that looks as far ahead as its queue is deep, a pen that takes its time, an
// area that it refuses to leave, and a cloth that keeps what was drawn.
//
// They read programs with small interpreters of their own, written from the
// standards alone and sharing nothing with plot/gcode and plot/hpgl, so that
// they can judge what those write.
//
// A plotter is a value that is told when a byte arrives and when time passes.
// [NewLine] puts a serial line in simulated time before one, for tests; [Serve]
// puts one behind a real pseudo-terminal, as fast as life or many times faster.
package sim
