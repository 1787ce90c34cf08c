package cores

import (
	"context"
	"runtime"
)

// A Chain is work that goes through stretches in turn, each of which depends on the state
// S that those before it have left, as a text does whose words count from the words before.
// [Chain.Run] does stretches ahead of their turn on other cores, from a guess of that state,
// and keeps what was made of those whose guess was right: so what comes of it is what
// comes of doing all in turn, whatever is guessed.
type Chain[S comparable] struct {
	// Slots is how many stretches may be done ahead at a time: see [Slots].
	Slots int
	// Turn does stretch k where all before it are done, and returns the state it leaves.
	Turn func(k int) (left S, err error)
	// Ahead does stretch k from a guess of the state before it, last being the state that an
	// earlier stretch has left, and returns both states. What it makes belongs to a slot, from
	// 1, which no other uses meanwhile. It is not ok where the stretch has to wait for its turn.
	Ahead func(slot, k int, last S) (before, left S, ok bool)
	// Keep adds what slot holds of a stretch, the guess being right, to what is done. Where it
	// returns false, it has added nothing, and the stretch is done again in turn.
	Keep func(slot int) bool
}

// Slots returns how many stretches of a [Chain] are worth doing ahead of their turn at a
// time: several for each core, and none where there is only one.
func Slots() int {
	if n := runtime.GOMAXPROCS(0); n > 1 {
		return 4*n - 1
	}
	return 0
}

// Run does n stretches. Where guesses are wrong, it guesses ever less often, so that
// little is done twice. The error is that of ctx, or else the first of Turn.
func (c Chain[S]) Run(ctx context.Context, n int) error {
	rest, alone := 0, 1 // stretches to do in turn only, now and after the next wrong guesses
	type done struct {
		before, left S
		ok           bool
	}
	made := make([]done, c.Slots+1)
	var last S
	for k := 0; k < n; {
		ahead := min(c.Slots, n-k-1)
		if k == 0 || rest > 0 { // before the first there is nothing to guess from
			ahead, rest = 0, rest-1
		}
		err := Each(ctx, ahead+1, func(i int) (err error) {
			if i == 0 {
				made[0].left, err = c.Turn(k)
				return err
			}
			made[i].before, made[i].left, made[i].ok = c.Ahead(i, k+i, last)
			return nil
		})
		if err != nil {
			return err
		}
		kept := 1
		for kept <= ahead && made[kept].ok && made[kept].before == made[kept-1].left && c.Keep(kept) {
			kept++
		}
		if kept <= ahead/2 {
			rest, alone = alone, 2*alone
		} else if ahead > 0 && kept > ahead {
			alone = max(1, alone/2)
		}
		last, k = made[kept-1].left, k+kept
	}
	return nil
}
