// Package device sends a program over a line to a plotter, keeps a journal of
// what is drawn, and steers a machine by hand.
//
//   - [Send] sends a [Job] and returns when it is drawn, or when the machine was
//     stopped;
//   - a [Journal] lets a job that broke off go on after the last stroke that is
//     proved to be drawn;
//   - a [Pilot] takes the lifted pen to places that are to be measured;
//   - [Ask] finds out which flow control a machine answers to.
//
// Ports are opened by device/line. What a flow control is says device/flow; the
// packages inside it are the flow controls, which alone know what a machine
// answers. What a program says is plot/language's business.
// Simulated plotters for tests are device/sim. The package does not make programs,
// and prints nothing: progress and questions to the person are callbacks. Advice
// in errors names settings of the command line in square brackets, as [resume].
//
// Five promises hold for everything that is sent:
//
//  1. A controller's buffer is never overrun: no byte is written for which it
//     has not said, by its own flow control, that it has room.
//  2. The pen is lifted before any wait, and whatever ends a job early, the last
//     thing sent is pen up, as far as the line lives.
//  3. An error says in what state the machine was left, and whether it may have
//     lost its place.
//  4. Nothing is called drawn that the machine, or a person, has not said is drawn:
//     an [Outcome] and a [Journal] keep what is proved from what is predicted.
//  5. Nothing is drawn from a place that may be lost, and no more is drawn again
//     than the journal announced.
//
// Everything that waits does so in the port's Read, and reads the port's clock.
// The sender starts no goroutine. Besides the program it keeps a timeline of some
// 100 bytes a block; with a journal it waits for the disk once every few seconds.
package device
