// Package device sends a program over a wire to a plotter: ports, the flow
// controls, the sender and its journal.
//
// Everything that waits does so in one place, [Port.Read], and reads one clock,
// [Port.Now]. A port to a real machine waits in real time; a simulated one
// (package device/sim) lets its own time pass, so that hours of drawing and any
// fault of a line are tested in milliseconds and come out the same every time.
// The sender itself starts no goroutine.
//
// Three promises hold for everything that is sent:
//
//  1. A controller's buffer is never overrun: no byte is written for which it
//     has not said, by its own flow control, that it has room.
//  2. The pen is lifted before any wait, and whatever ends a job early, the last
//     thing sent is pen up, as far as the line lives.
//  3. An error says in what state the machine was left.
package device
