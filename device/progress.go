package device

import "time"

// showEvery is how often progress is reported while nothing else happens.
const showEvery = 100 * time.Millisecond

// tick tells progress now and then.
func (s *sender) tick() {
	if s.opt.Progress == nil {
		return
	}
	now := s.w.Now()
	if now-s.shown < showEvery && s.progress().Stroke == s.stroke {
		return
	}
	s.show()
}

func (s *sender) show() {
	if s.opt.Progress == nil {
		return
	}
	p := s.progress()
	s.shown, s.stroke = s.w.Now(), p.Stroke
	s.opt.Progress(p)
}

// progress returns how far the job has got: what should be done by now, and no
// more than what the machine has taken.
func (s *sender) progress() Progress {
	p := Progress{State: s.state, TotalMM: s.whole.Drawn, Strokes: s.whole.Strokes, BytesSent: s.w.Sent()}
	p.ProvedMM, p.ProvedStrokes = s.sure.Drawn, s.sure.Stroke
	if s.state == Done {
		p.DrawnMM, p.Stroke = p.TotalMM, p.Strokes
		return p
	}
	l := s.leg
	m := l.timeline.At(min(s.due.At(s.w.Now()), l.flow.Acknowledged()))
	p.DrawnMM, p.SecondsLeft = l.before.Drawn+m.Drawn, l.timeline.Seconds-m.Seconds
	p.Stroke, p.Layer = l.before.Stroke+m.Stroke, m.Layer
	return p
}
