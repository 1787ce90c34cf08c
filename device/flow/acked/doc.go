// Package acked is the line-acknowledged flow control, for controllers that answer
// every line. It is a state machine without a port or a clock of its own, the
// dialogue, and a [flow.Control] that feeds it what comes on the line. What the
// controller's answers look like is data: profiles.Manner.
package acked
