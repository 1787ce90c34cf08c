// Package flow says what a flow control is: how a program gets into a controller
// no faster than it can take it, and how the sender finds out how far the machine
// has got. It holds what a sender sees: [Control], [Job], how a machine was left,
// and the kinds of errors.
//
// There are two kinds of flow control, each a package:
//
//   - flow/acked, the line-acknowledged flow, for controllers that answer every
//     line;
//   - flow/streamed, for plotters that take a program as a row of bytes.
//
// Both read a controller's lines with flow/answers. Package device picks one by
// the machine's profile: it imports both, and so this package imports neither.
//
// A control keeps three promises. It writes no byte for which the controller has
// not said that there is room. It leaves the pen up when it is halted, as far as
// the line lives. It says that a stroke is drawn only when the machine has.
//
// A control neither makes nor changes a program, keeps no journal, and asks no
// person: that is package device. It is used by one goroutine. Its cost is a few
// operations a byte, and 20 to 50 status reports a second where the controller
// can give them, which take up at most a quarter of the line.
package flow
