// Package sim holds simulated plotters: a gantry whose controller takes G-code
// and acknowledges every line, and an HP-GL plotter with its handshakes. Each
// has a receive buffer of its profile's size that can be overrun, a planner
// that looks ahead as far as its queue is deep, a pen that takes its time, an
// area that it refuses to leave, and a cloth that keeps what was drawn.
//
// They are judges of our own work: they read programs with small interpreters of
// their own, written from the standards alone and sharing nothing with plot/gcode
// and plot/hpgl. A controller speaks as the serial.manner of its profile says.
//
// A plotter is a value that is told when a byte arrives and when time passes.
// [NewLine] puts a serial line in simulated time before one, for tests, where
// faults can be scripted; [Serve] puts one behind a pseudo-terminal, as fast as
// life or many times faster.
//
// The package models no ink, no stretch of the cloth, and no motor that loses
// steps. An hour of drawing takes about a second of computing. Values are not
// safe for use by several goroutines, except those of [Server].
package sim
