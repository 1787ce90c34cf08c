// Package flow is how a program gets into a controller no faster than it can
// take it, and how the sender finds out how far the machine has got.
//
// [New] returns the [Control] for a machine's profile. There are two kinds:
//
//   - the line-acknowledged flow, for controllers that answer every line. It is
//     a state machine, without a port or a clock of its own, behind a [Control]
//     that feeds it what comes on the line. What the controller's answers look
//     like is data: profiles.Manner;
//   - the streamed flows, for plotters that take a program as a row of bytes:
//     XON/XOFF, a query for the free bytes, ENQ/ACK, and pacing by the clock.
//     These are published handshakes of HP-GL plotters, and are code.
//
// A plotter of the streamed flows is asked, along with its program, where its pen
// is and whether it is down: a check. The answers come in order, so that they prove
// strokes as acknowledgements do, and nothing waits for them. What is drawn is kept
// inside a clip, HP-GL's window, that goes with it, so that a garbled number leads
// the ink a few mm astray and no farther. A plotter that answers nothing is only
// predicted.
//
// A control keeps three promises. It writes no byte for which the controller has
// not said that there is room. It leaves the pen up when it is halted, as far as
// the line lives. It says that a stroke is drawn only when the machine has.
//
// The package neither makes nor changes a program, keeps no journal, and asks no
// person: that is package device. A control is used by one goroutine. Its cost
// is a few operations a byte, and 20 to 50 status reports a second where the
// controller can give them, which take up at most a quarter of the line.
package flow
