//go:build darwin && !cgo

package line

// descriptions returns nothing: finding what is plugged in needs the system's C
// library, which this build does not use.
func descriptions() map[string]string { return nil }
