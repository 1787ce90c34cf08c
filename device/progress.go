package device

import "time"

// guess follows what the machine is predicted to be at: it begins a piece when
// it has got it and is done with the one before.
type guess struct {
	ahead []due // pieces predicted not to be done yet
	done  int   // offset of the text predicted to be done
	busy  time.Duration
}

// due is when a piece should be begun and done.
type due struct {
	from, at   time.Duration
	start, end int
}

// sent notes that a piece of the text, which takes so many seconds, went out.
func (g *guess) sent(now time.Duration, start, end int, secs float64) {
	from := max(g.busy, now)
	g.busy = from + seconds(secs)
	g.ahead = append(g.ahead, due{from, g.busy, start, end})
}

// at returns the offset of the text that should be done now; in the middle of a
// piece it lies as far in it as the time does.
func (g *guess) at(now time.Duration) int {
	n := 0
	for n < len(g.ahead) && g.ahead[n].at <= now {
		g.done = g.ahead[n].end
		n++
	}
	g.ahead = g.ahead[n:]
	if len(g.ahead) == 0 || now <= g.ahead[0].from {
		return g.done
	}
	d := g.ahead[0]
	f := float64(now-d.from) / float64(d.at-d.from)
	return max(g.done, d.start+int(f*float64(d.end-d.start)))
}

// showEvery is how often progress is told while nothing else happens.
const showEvery = 100 * time.Millisecond

// tick tells progress now and then.
func (s *sender) tick() {
	if s.opt.Progress == nil {
		return
	}
	now := s.w.now()
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
	s.shown, s.stroke = s.w.now(), p.Stroke
	s.opt.Progress(p)
}

// progress returns how far the job has got: what should be done by now, and no
// more than what the machine has taken.
func (s *sender) progress() Progress {
	p := Progress{State: s.state, TotalMM: s.whole.drawn, Strokes: s.whole.strokes, BytesSent: s.w.sent}
	if s.state == Done {
		p.DrawnMM, p.Stroke = p.TotalMM, p.Strokes
		return p
	}
	l := s.leg
	m := l.course.at(min(s.guess.at(s.w.now()), l.flow.taken()))
	p.DrawnMM, p.SecondsLeft = l.before.drawn+m.drawn, l.course.seconds-m.seconds
	p.Stroke, p.Layer = l.before.stroke+m.stroke, m.layer
	return p
}
