// Package door decides who may reach a page that moves machines, and which of
// several open pages leads.
//
// A [Guard] stands before every request; [Pages] hands the page that leads a
// number that moves the machine once; an [Opener] starts the browser without
// showing the secret to other users of the computer.
package door
