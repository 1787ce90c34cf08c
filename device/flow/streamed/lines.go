package streamed

import (
	"fmt"

	"weftplot/device/flow"
	"weftplot/device/flow/answers"
	"weftplot/paths/fault"
)

// hearLines takes in what a controller has answered whose lines are streamed. Not
// every one answers.
func (s *stream) hearLines() error {
	for text, ok := s.w.Line(); ok; text, ok = s.w.Line() {
		switch r := s.reader.Read(text); r.Kind {
		case answers.Acknowledgement:
			s.talks = true
			s.lines = max(0, s.lines-1)
		case answers.Refusal:
			return &fault.Error{Kind: flow.Rejected, What: fmt.Sprintf("the machine refused a line with %q", r.Text), Do: "its manual says what the answer means"}
		case answers.Alarm:
			return &fault.Error{Kind: flow.Alarm, What: fmt.Sprintf("the machine stopped by itself: %q", r.Text),
				Do: "find out why from its manual; bring it home before it draws again"}
		}
	}
	return nil
}

// settleLines sends a dwell of no length and waits until every line is answered,
// if lines are, or for as long as the work should take.
func (s *stream) settleLines() error {
	if err := s.put([]byte(s.queries.Wait)); err != nil {
		return err
	}
	s.lines++
	var bad error
	_, err := s.await(s.patience(), func() bool {
		bad = s.hearLines()
		return bad != nil || s.talks && s.lines == 0 || !s.talks && s.w.Now() > s.due.Busy
	})
	if bad != nil {
		return bad
	}
	return err
}

// Lost reports nothing: these plotters say nothing of themselves when they start.
func (*stream) Lost() bool { return false }

// Hear drops what comes while nothing is sent.
func (s *stream) Hear() error {
	s.w.Drop()
	return nil
}
