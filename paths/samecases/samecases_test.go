package samecases_test

import (
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"

	"weftplot/paths/samecases"
)

func TestSeed(t *testing.T) {
	f := flag.Lookup("rapid.seed")
	if f == nil {
		t.Fatal("there is no flag for the seed")
	}
	if strings.Contains(strings.Join(os.Args, " "), "-rapid.seed") {
		t.Skip("the command line says which")
	}
	if got := f.Value.String(); f.DefValue != "0" || got != strconv.Itoa(samecases.Seed) {
		t.Errorf("the seed is %s (%s at first), not %d", got, f.DefValue, samecases.Seed)
	}
}
