// Package timeline gives the place, the progress and the time of a program at
// every offset of its text.
//
//   - [Timeline] holds these, computed beforehand;
//   - [Prediction] predicts by the clock what the machine is doing;
//   - [Route] follows the machine along the program by its reports.
//
// All are values without a clock or a port of their own. The package does not
// decide what to do about a machine that is off its route; the flow controls
// do. Building a timeline costs one planning of the whole program and 100 bytes
// a block; looking up an offset is a binary search.
package timeline
