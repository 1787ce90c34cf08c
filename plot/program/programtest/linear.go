package programtest

import (
	"runtime"
	"testing"
)

// Linear reports an input whose reading takes more than linear memory: text(n)
// is an input of size n, and an input four times as large may take five times
// as many bytes, besides a constant. Allocated bytes do not depend on the
// machine, unlike seconds.
func Linear(t *testing.T, name string, text func(n int) []byte, read func([]byte)) {
	t.Helper()
	const n, slack = 1000, 2 << 20
	small, large := allocated(read, text(n)), allocated(read, text(4*n))
	if large > 5*small+slack {
		t.Errorf("%s: %d bytes are allocated for n = %d and %d for %d", name, small, n, large, 4*n)
	}
}

// allocated returns how many bytes reading allocates in total.
func allocated(read func([]byte), data []byte) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	read(data)
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}
