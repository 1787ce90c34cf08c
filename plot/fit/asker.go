package fit

// asker asks at every few pieces whether to go on.
type asker struct {
	stop   func() error // nil: never
	pieces int
	err    error // of stop
}

// asking is how many pieces lie between two questions.
const asking = 64

// stopped counts a piece, and reports whether to stop.
func (a *asker) stopped() bool {
	if a.stop == nil {
		return false
	}
	if a.err == nil && a.pieces%asking == 0 {
		a.err = a.stop()
	}
	a.pieces++
	return a.err != nil
}
