package streamed

import (
	"strconv"
	"time"

	"weftplot/device/flow"
	"weftplot/paths/fault"
)

// spaceQuery asks for the free bytes in the buffer, ESC . B, and sends only what
// fits. It asks again while there is still half a buffer of room to fill, so
// that the line has something to carry while the answer comes.
type spaceQuery struct {
	free    int           // bytes that surely fit
	asked   bool          // a question is on its way
	garbled bool          // what came may be its answer, garbled
	let     int           // bytes let through
	owed    []int         // how many of them before each question that may be answered, oldest first
	lost    int           // how many of those were given up,
	until   time.Duration // and until when they may be answered all the same
	when    time.Duration // when it was asked
	gone    time.Duration // when it will have left, by the baud rate
	began   time.Duration // since when a question was not answered
	last    string        // the last answer
	most    int           // the room of an answer that is to be confirmed, 0 if none is
}

// SpaceQuestion asks a plotter for the free bytes in its buffer: HP 7470A
// Interfacing and Programming Manual, chapter 10. The answer is a number and CR.
const SpaceQuestion = "\x1b.B"

func (q *spaceQuery) open(s *stream) error {
	first := s.soonest()
	for n := range 6 {
		if err := q.ask(s); err != nil {
			return err
		}
		_, err := s.await(flow.ReplyTime/2, func() bool { q.answer(s); return !q.asked })
		if err == nil && q.free > 0 && n > 0 {
			return q.reopen(s, s.lateness(first, len(q.last)+1))
		}
		if err != nil || q.free > 0 {
			return err
		}
		q.giveUp(s)
	}
	return &fault.Error{Kind: flow.Silent, What: "the machine does not say how much room it has",
		Do: flow.LookAtSettings}
}

// reopen asks once more when several questions were asked and one was answered: the
// others may have been lost, or be answered as late as that at the most. Which it is
// tells how late the line is.
func (q *spaceQuery) reopen(s *stream, late time.Duration) error {
	for range 3 {
		q.asked, q.owed, q.lost = false, nil, 0
		if err := s.flushed(q.gone + late + askAgain/5); err != nil {
			return err
		}
		if err := q.ask(s); err != nil {
			return err
		}
		if came, err := s.await(late+askAgain/2, func() bool { q.answer(s); return !q.asked }); err != nil || came {
			return err
		}
	}
	s.late = late
	q.giveUp(s)
	return nil
}

func (q *spaceQuery) burst(s *stream) int { return min(64, s.size/4) }

func (q *spaceQuery) room(s *stream, n int) error {
	for {
		q.answer(s)
		if q.due(s, n) {
			if err := q.ask(s); err != nil {
				return err
			}
		}
		if q.free >= n {
			q.free -= n
			q.let += n
			q.most = max(0, q.most-n)
			return s.pace(s.size)
		}
		got, err := s.await(flow.PollAgain, func() bool { return q.answer(s) || q.most > 0 && !q.asked })
		switch {
		case err != nil:
			return err
		case !got && q.asked && (q.garbled || s.w.Now() > max(q.when, s.w.Left())+askAgain/2+s.late):
			if silence := s.w.Now() - q.began; silence > muteAfter+s.late {
				return s.silent(silence)
			}
			q.giveUp(s) // the question or the answer
		}
	}
}

// due reports whether it is time to ask, before n bytes are written.
func (q *spaceQuery) due(s *stream, n int) bool {
	return q.free < s.size/2 && !q.asked && (q.free >= n || q.most > 0 || s.w.Now()-q.when >= flow.PollAgain)
}

// rest waits for the answer to a question that is on its way, so that no other
// answer is taken for it.
func (q *spaceQuery) rest(s *stream) error {
	came, err := s.await(max(0, s.w.Left()-s.w.Now())+s.again(), func() bool { q.answer(s); return !q.asked })
	if !came {
		q.giveUp(s)
	}
	return err
}

func (q *spaceQuery) ask(s *stream) error {
	if q.lost > 0 && s.w.Now() > q.until {
		q.owed, q.lost = nil, 0
		for _, came := s.w.UpTo('\r', '\n'); came; _, came = s.w.UpTo('\r', '\n') {
			continue // an answer to one that was given up
		}
	}
	q.asked, q.garbled, q.when = true, false, s.w.Now()
	if len(q.owed) == 0 {
		q.began = q.when
	}
	q.owed = append(q.owed, q.let)
	err := s.w.Write([]byte(SpaceQuestion))
	q.gone = s.w.Left()
	return err
}

// giveUp counts the answer to a question as lost, if one is on its way. It may be
// late only: for a while each answer is taken for that to the oldest question that is
// not answered.
func (q *spaceQuery) giveUp(s *stream) {
	if q.asked {
		q.asked, q.lost, q.until = false, q.lost+1, s.w.Now()+s.again()
	}
}

// answer takes in an answer, if one has come: the room there was when the
// question got there, of which what was written since is gone. One that comes twice
// is no answer to the next question, and room that has grown by more than the
// prediction has it is believed when another answer says so too: a digit may be one
// too many. It reports whether the room is known anew.
func (q *spaceQuery) answer(s *stream) bool {
	for q.asked {
		line, ok := s.w.UpTo('\r', '\n')
		if !ok {
			return false
		}
		n, err := strconv.Atoi(line)
		if err != nil || n < 0 || n > s.size {
			q.garbled = true
			continue
		}
		if line == q.last && s.w.Now() < q.gone {
			continue
		}
		free := n - (q.let - q.owed[0])
		q.asked, q.owed, q.last, q.began = false, q.owed[1:], line, s.w.Now()
		if q.lost == 0 {
			s.late = max(s.late, s.lateness(q.gone, len(line)+1))
		}
		held := s.last + s.asking() - s.due.At(s.w.Now()) // by the prediction
		if grown := free > q.free+s.size/16 && s.size-n < held; grown && q.most == 0 {
			q.most = free
			return false
		} else if grown {
			free = min(free, q.most)
		}
		q.free, q.most = free, 0
		return true
	}
	return false
}
