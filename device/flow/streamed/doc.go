// Package streamed is the flow control of plotters that take a program as a row of
// bytes: XON/XOFF, a query for the free bytes, ENQ/ACK, and pacing by the clock.
// These are published handshakes of HP-GL plotters, and are code.
//
// A plotter is asked, along with its program, where its pen is and whether it is
// down: a check. The answers come in order, so that they prove strokes as
// acknowledgements do, and nothing waits for them. What is drawn is kept inside a
// clip, HP-GL's window, that goes with it, so that a garbled number leads the ink a
// few mm astray and no farther. A plotter that answers nothing is only predicted.
package streamed
