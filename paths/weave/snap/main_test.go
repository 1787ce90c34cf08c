package snap

import (
	"flag"
	"os"
	"testing"
)

// TestMain gives the properties a fixed seed, so that a test repeats; other cases
// are tried with -rapid.seed=N and -rapid.checks=N.
func TestMain(m *testing.M) {
	flag.Parse()
	if f := flag.Lookup("rapid.seed"); f != nil && f.Value.String() == "0" {
		if err := f.Value.Set("20261125"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
