package flow

import (
	"fmt"

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
	s.w.Signal = e.answer
	set := fmt.Sprintf("\x1b.H%d;%d;%d:", e.block*3/2, Enquiry[0], EnquiryAnswer[0])
	if err := s.w.Write([]byte(set)); err != nil {
		return err
	}
	for range 3 {
		if err := e.ask(s); err != nil {
			return err
		}
		ok, err := s.await(replyTime, func() bool { return !e.asked })
		if err != nil || ok {
			return err
		}
	}
	return &fault.Error{Kind: Silent, What: "the machine does not answer an enquiry",
		Do: lookAtSettings}
}

func (e *enqAck) burst(s *stream) int { return min(64, s.size/8) }

func (e *enqAck) room(s *stream, n int) error {
	if !e.asked && e.left < e.block/2 {
		if err := e.ask(s); err != nil {
			return err
		}
	}
	if e.left < n {
		limit := s.patience()
		ok, err := s.await(limit, func() bool { return e.left >= n })
		if err != nil {
			return err
		}
		if !ok {
			return s.silent(limit)
		}
	}
	e.left -= n
	return s.pace(s.size)
}

func (e *enqAck) ask(s *stream) error {
	e.asked = true
	return s.w.Write([]byte(Enquiry))
}

// answer takes in the answer.
func (e *enqAck) answer(b byte) bool {
	if b != EnquiryAnswer[0] {
		return false
	}
	if e.asked {
		e.asked = false
		e.left += e.block
	}
	return true
}

// rest waits for nothing: an answer is no part of any other.
func (*enqAck) rest(*stream) error { return nil }
