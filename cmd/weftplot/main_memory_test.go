package main

import (
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"testing"
	"time"
)

// The room at the start holds until the first collection, and then the usual share does.
func TestRoomEndsWithTheFirstCollection(t *testing.T) {
	limit, was := debug.SetMemoryLimit(-1), debug.SetGCPercent(percent)
	t.Cleanup(func() { debug.SetMemoryLimit(limit); debug.SetGCPercent(was) })
	t.Setenv("GOGC", "")
	t.Setenv("GOMEMLIMIT", "")
	now := func() uint64 {
		s := []metrics.Sample{{Name: "/gc/gogc:percent"}}
		metrics.Read(s)
		return s[0].Value.Uint64()
	}
	useMemory()
	if got := now(); got != 100*room/leastHeap && got != percent { // a collection may come between
		t.Fatalf("it begins with %d percent", got)
	}
	if got := debug.SetMemoryLimit(-1); got != memory {
		t.Fatalf("the limit is %d bytes", got)
	}
	for range 200 {
		runtime.GC()
		if now() == percent {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("after collections there are %d percent", now())
}
