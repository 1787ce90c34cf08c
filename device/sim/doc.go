// Package sim is for testing senders and programs on simulated plotters: a
// gantry whose controller reads G-code and acknowledges every line, and an
// HP-GL plotter with its handshakes. Each has a receive buffer of its profile's
// size that can overrun, a planner that looks ahead over its queue, a pen that
// takes time to move, an area that it refuses to leave, and a cloth that
// records what was drawn.
//
// They are independent checks: they read programs with small interpreters of
// their own, written from the standards alone and sharing nothing with
// plot/gcode and plot/hpgl. A controller answers in the serial.manner of its
// profile. What controllers answer, their greeting, and that a reset empties the queue,
// stops the machine and greets anew, is common practice from memory: no standard says
// it, and a maker's manual comes first. HP-GL's answers are those of the published
// interfacing and programming manuals.
//
// A plotter is a value that is called when a byte arrives and when time passes.
// [NewLine] connects one to a serial line in simulated time, for tests, where
// faults can be scripted. Package live puts one behind a pseudo-terminal, in real time
// or many times faster.
//
// The package models no ink, no stretch of the cloth, and no motor that loses
// steps. An hour of drawing takes about a second of computing. Values are not
// safe for use by several goroutines.
package sim
