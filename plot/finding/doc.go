// Package finding finds a load of a rug again on the cloth: which numbers its threads have
// where earlier loads drew their ink beside the threads that were counted.
//
// Everything is a pure function of places in channels and marks in mm on the machine.
package finding
