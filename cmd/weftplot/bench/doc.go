// Package bench serves the page on which a rug maker does the whole job in a
// browser: the drawing, the rug, its front and its back, the machine, the marks
// on the cloth, the dry run, and drawing.
//
// What the page shows is the state of the server: a page that is opened again
// shows the same. It is one more hand on the job folder that the commands work
// on; every rule of the trade is called from the packages to the left, and none
// stands here.
//
// Since the page moves machines, nobody else may reach it: package door says who
// may and which of several open pages leads, and every motion takes a turn that
// works once. Package paper holds what was read from paper, sheets what the browser
// draws, memory what is remembered on this computer.
package bench
