// Package parts divides a drawing that is larger than a machine into loads: which part of
// each line is drawn in which laying of the cloth ([Divide]), and what is to be found on
// the cloth before a load is drawn ([Find]).
//
// A window is what the machine reaches of the cloth in one load. Windows overlap, so that
// each load finds ink of those before it. A line that lies in a window whole is drawn
// whole, in the earliest load that can, for its ink helps those that follow. Others are cut
// as few times as their own course allows, each part in the window that takes it farthest:
// for a chain and windows of equal size no way has fewer cuts (the greedy cover of a line
// by intervals). Where there is a choice a cut lies at a corner, else where a line runs
// along a channel, where a joint shows least, else in the middle of what both windows hold.
// The two parts go past each other by the lap.
//
// Everything is a pure function, in mm on the cloth and channels of its weave.
package parts
