//go:build unix

package outline

import "syscall"

// userSeconds returns the CPU time of this process so far.
func userSeconds() float64 {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return float64(u.Utime.Sec) + float64(u.Utime.Usec)/1e6
}
