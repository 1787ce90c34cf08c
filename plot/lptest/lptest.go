// Package lptest solves integer programs for tests, with a solver by others, GNU GLPK.
package lptest

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
)

// optimal finds the optimum in what the solver writes.
var optimal = regexp.MustCompile(`(?s)Status:\s+INTEGER OPTIMAL.*Objective:\s+obj = (\d+)`)

// Solve returns the optimum, a whole number, of an integer program in the format of
// CPLEX LP files whose objective is called obj; -1 where it is not proved within a
// minute. The test is skipped where there is no solver.
func Solve(t *testing.T, program string) int {
	t.Helper()
	NeedsSolver(t)
	dir := t.TempDir()
	lp, sol := filepath.Join(dir, "c.lp"), filepath.Join(dir, "c.sol")
	if err := os.WriteFile(lp, []byte(program), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("glpsol", "--lp", lp, "-o", sol, "--cuts", "--tmlim", "60").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	data, err := os.ReadFile(sol)
	if err != nil {
		t.Fatal(err)
	}
	m := optimal.FindSubmatch(data)
	if m == nil {
		return -1
	}
	n, err := strconv.Atoi(string(m[1]))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// NeedsSolver skips a test where there is no solver.
func NeedsSolver(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol (GNU GLPK) is not installed")
	}
}
