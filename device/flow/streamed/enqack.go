package streamed

import (
	"fmt"
	"time"

	"weftplot/device/flow"
	"weftplot/paths/fault"
)

// enqAck asks with one character whether a block of bytes fits, and is answered
// with another once it does. The block it asks for is half as long again as the
// one it sends, so that it can ask while the last third of a block is still to
// be sent: the line is not idle while the answer comes.
type enqAck struct {
	block int // bytes that an answer is good for
	left  int // bytes that may be sent
	asked bool
	// again is how often the enquiry was repeated. Answers to all of them may come
	// once one has: so many, late, are passed over until a time.
	again, late int
	until       time.Duration
	sent        time.Duration // when the last enquiry was sent
}

// Enquiry and EnquiryAnswer are the usual characters of the handshake, ENQ and
// ACK of ASCII. With no handshake set a plotter answers the one with the other.
const (
	Enquiry       = "\x05"
	EnquiryAnswer = "\x06"
)

// open sets the handshake: HP 7470A Interfacing and Programming Manual, page
// 10-29. The characters are the usual ones.
func (e *enqAck) open(s *stream) error {
	e.block = s.size / 2
	s.w.Signal = func(b byte) bool { return e.answer(b, s) }
	set := fmt.Sprintf("\x1b.H%d;%d;%d:", e.block*3/2, Enquiry[0], EnquiryAnswer[0])
	if err := s.w.Write([]byte(set)); err != nil {
		return err
	}
	began := s.soonest() + s.w.PerByte
	for tries := range 3 {
		if err := e.ask(s); err != nil {
			return err
		}
		ok, err := s.await(flow.ReplyTime, func() bool { return !e.asked })
		if ok {
			if s.late = s.lateness(began, len(EnquiryAnswer)); tries > 0 {
				err = e.reopen(s)
			}
		}
		if err != nil || ok {
			return err
		}
	}
	return &fault.Error{Kind: flow.Silent, What: "the machine does not answer an enquiry",
		Do: flow.LookAtSettings}
}

// reopen enquires once more when several enquiries were sent and one was answered:
// the others may have been lost, or be answered as late as that at the most. Which it
// is tells how late the line is.
func (e *enqAck) reopen(s *stream) error {
	for tries, came := 0, false; !came && tries < 3; tries++ {
		if err := s.flushed(e.sent + s.late + askAgain/5); err != nil {
			return err
		}
		if err := e.ask(s); err != nil {
			return err
		}
		var err error
		if came, err = s.await(s.late+askAgain/2, func() bool { return !e.asked }); err != nil {
			return err
		}
		if came {
			s.late = s.lateness(e.sent, len(EnquiryAnswer))
		}
		e.asked, e.left = false, e.block
	}
	return nil
}

func (e *enqAck) burst(s *stream) int { return min(64, s.size/8) }

func (e *enqAck) room(s *stream, n int) error {
	if !e.asked && e.left < e.block/2 {
		if err := e.ask(s); err != nil {
			return err
		}
	}
	if e.left < n {
		if err := e.waitFor(s, n); err != nil {
			return err
		}
	}
	e.left -= n
	return s.pace(s.size)
}

// waitFor waits until n bytes may be written, and asks again when an answer does
// not come although there should be room by now.
func (e *enqAck) waitFor(s *stream, n int) error {
	limit := s.w.Now() + s.patience()
	for {
		ok, err := s.await(askAgain/8+s.late, func() bool { return e.left >= n })
		if err != nil || ok {
			return err
		}
		if s.w.Now() > limit {
			return s.silent(s.patience())
		}
		if held := s.last + s.asking() - s.due.At(s.w.Now()); min(held, s.holds()) > s.size-e.block*3/2 {
			continue
		}
		e.again++
		if err := e.ask(s); err != nil {
			return err
		}
	}
}

func (e *enqAck) ask(s *stream) error {
	e.asked = true
	err := s.w.Write([]byte(Enquiry))
	e.sent = s.w.Left()
	return err
}

// answer takes in the answer. After one to an enquiry that was repeated, others
// to the same may follow.
func (e *enqAck) answer(b byte, s *stream) bool {
	now := s.w.Now()
	if b != EnquiryAnswer[0] {
		return false
	}
	if !e.asked || e.late > 0 && now < e.until {
		e.late = max(0, e.late-1)
		return true
	}
	e.asked = false
	e.left += e.block
	e.again, e.late, e.until = 0, e.again, max(now, e.sent+s.late)+askAgain/5
	return true
}

// rest waits for nothing: an answer is no part of any other.
func (*enqAck) rest(*stream) error { return nil }
