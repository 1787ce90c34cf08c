//go:build darwin && !cgo

package line

// descriptions returns nothing: what is plugged in is asked of the system's own
// C library, which this build does without.
func descriptions() map[string]string { return nil }
