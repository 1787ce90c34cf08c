package flow

import "time"

// The times that both kinds of flow control go by, of the port's clock.
const (
	ReplyTime  = 1500 * time.Millisecond // to answer with nothing to do
	PollEvery  = 150 * time.Millisecond  // between questions when nothing else comes and nothing is watched
	PollAgain  = 50 * time.Millisecond   // before a report of idleness is believed
	MotionSlip = 5 * time.Second         // on top of twice what a motion should take
)

// Seconds turns s seconds into a duration.
func Seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
