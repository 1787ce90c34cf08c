package main

import (
	"testing"
	"time"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// waitFor waits for something to be so.
func waitFor(t *testing.T, within time.Duration, is func() bool) {
	t.Helper()
	for deadline := time.Now().Add(within); !is(); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(deadline) {
			t.Fatalf("after %v it is still not so", within)
		}
	}
}
