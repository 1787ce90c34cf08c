// Package carry moves what lies between straights: a [Carrier] takes each straight into
// its channel and all else along with it, so that nothing tears and nothing changes sides.
//
// It knows guides, which are lines with the places that they go to, and no drawing. All
// lengths are mm.
package carry
