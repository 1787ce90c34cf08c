// Package timeline tells where a program is, how far it has got and after how
// long, at every offset of its text.
//
//   - [Timeline] is that knowledge, worked out beforehand;
//   - [Prediction] follows by the clock what the machine should be at;
//   - [Route] follows the machine along the program by the places it reports.
//
// All are values without a clock or a port of their own. The package does not
// decide what a machine off its route means; the flow controls do. Building a
// timeline costs one planning of the whole program and 100 bytes a block; looking
// an offset up is a binary search.
package timeline
