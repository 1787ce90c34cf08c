package loads

import "math"

// least returns the rows that take the least cloth, and true, unless finding them would
// take too long.
//
// A state is how many pieces of each kind are left. The first kind that is left stands in
// some row, so the least for a state is that over all rows which hold one of that kind at
// least: their height and the least for what they leave. A row of a given height takes as
// many of the last kind as fit, since more cloth is never needed for fewer pieces.
func (t *task) least() ([]row, bool) {
	s := search{task: t, steps: make([]int, len(t.kinds))}
	states := 1
	for k, n := range t.counts {
		s.steps[k] = states
		if states *= n + 1; states > exactWork {
			return nil, false
		}
	}
	s.length, s.taken = make([]int, states), make([]row, states)
	for state := 1; state < states; state++ {
		s.state, s.length[state] = state, math.MaxInt
		left := s.left(state)
		for _, h := range t.heights {
			s.height = h
			s.fill(left, make([]int, len(left)), 0, t.width, false)
			if s.work > exactWork {
				return nil, false
			}
		}
	}
	var rows []row
	for state := states - 1; state > 0; {
		r := s.taken[state]
		rows = append(rows, r)
		for k, n := range r.counts {
			state -= n * s.steps[k]
		}
	}
	return rows, true
}

// A search goes through all states.
type search struct {
	*task
	steps  []int // by how much a piece of each kind changes a state's number
	length []int // the least for each state
	taken  []row // a row of it

	state, height int // under way
	work          int
}

// left returns how many pieces of each kind a state has.
func (s *search) left(state int) []int {
	left := make([]int, len(s.counts))
	for k, n := range s.counts {
		left[k] = state / s.steps[k] % (n + 1)
	}
	return left
}

// fill tries all rows of the height that hold what counts has of the kinds before k, with
// room channels still free. held says that the first kind that is left is in it.
func (s *search) fill(left, counts []int, k, room int, held bool) {
	if s.work++; s.work > exactWork {
		return
	}
	if k == len(left) {
		if held {
			s.try(counts)
		}
		return
	}
	w, _ := s.across(s.kinds[k], s.height)
	most := 0
	if w > 0 {
		most = min(left[k], room/w)
	}
	least := 0
	if !held && left[k] > 0 {
		least = 1
	}
	if k == len(left)-1 {
		least = max(least, most)
	}
	for n := most; n >= least; n-- {
		counts[k] = n
		s.fill(left, counts, k+1, room-n*w, held || n > 0)
	}
	counts[k] = 0
}

// try takes a row where it makes the state's length less.
func (s *search) try(counts []int) {
	rest := s.state
	for k, n := range counts {
		rest -= n * s.steps[k]
	}
	if length := s.length[rest] + s.height; length < s.length[s.state] {
		s.length[s.state] = length
		s.taken[s.state] = row{append([]int(nil), counts...), s.height}
	}
}
