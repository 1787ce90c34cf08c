// Package dryrun shows what a program of ours or of others, or a part of one, does on
// a machine: [New] adds up what its bytes say and judges them, and [Review.Scene] is
// its picture.
//
// It draws no pictures itself, which plot/proof does, and sends nothing.
//
// Cost: linear in the blocks of the program.
package dryrun
