package cores_test

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"testing"

	"weftplot/paths/cores"
)

// What comes of a chain is what comes of doing its stretches in turn, for any number of
// cores and however often its guesses are right; and little is done twice.
func TestChainIsDoneInTurn(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	const n = 400
	step := func(k, state int) int { return (state*31 + k) % 1009 }
	var want []int
	for k, state := 0, 7; k < n; k++ {
		want, state = append(want, step(k, state)), step(k, state)
	}
	for _, right := range []int{0, 1, 2, 10, 1000} { // of so many guesses all but one
		for _, procs := range []int{1, 2, 5} {
			runtime.GOMAXPROCS(procs)
			var got []int
			slots, guesses := make([]int, cores.Slots()+1), make([]int, n)
			now := 7
			chain := cores.Chain[int]{
				Slots: cores.Slots(),
				Turn: func(k int) (int, error) {
					now = step(k, now)
					got = append(got, now)
					return now, nil
				},
				Ahead: func(slot, k, _ int) (before, left int, ok bool) {
					guesses[k]++
					before = want[k-1]
					if right == 0 || k%right == 0 && right < n {
						before++
					}
					slots[slot] = step(k, before)
					return before, slots[slot], k%7 > 0
				},
				Keep: func(slot int) bool {
					if slots[slot]%11 == 0 {
						return false
					}
					now = slots[slot]
					got = append(got, now)
					return true
				},
			}
			if err := chain.Run(context.Background(), n); err != nil || !slices.Equal(got, want) {
				t.Fatalf("one in %d wrong, %d cores: %v, %v", right, procs, err, got)
			}
			all := 0
			for _, g := range guesses {
				all += g
			}
			if right == 0 && all > 10*cores.Slots() || procs == 1 && all > 0 {
				t.Errorf("one in %d wrong, %d cores: %d guesses", right, procs, all)
			}
		}
	}
}

// The error of a stretch in its turn ends a chain, and so does its context.
func TestChainEnds(t *testing.T) {
	bad, turns := errors.New("bad"), 0
	chain := cores.Chain[int]{
		Slots: 3,
		Turn: func(k int) (int, error) {
			if turns++; k == 3 {
				return 0, bad
			}
			return k, nil
		},
		Ahead: func(int, int, int) (int, int, bool) { return 0, 0, false },
		Keep:  func(int) bool { return true },
	}
	if err := chain.Run(context.Background(), 10); !errors.Is(err, bad) || turns != 4 {
		t.Errorf("after %d stretches: %v", turns, err)
	}
	over, cancel := context.WithCancel(context.Background())
	cancel()
	if err := chain.Run(over, 10); !errors.Is(err, context.Canceled) || turns != 4 {
		t.Errorf("after %d stretches: %v", turns, err)
	}
	if err := chain.Run(context.Background(), 0); err != nil {
		t.Error(err)
	}
}
