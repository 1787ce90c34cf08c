package timeline

import "time"

// Prediction predicts what the machine is doing: it begins a chunk when it has
// received it and is done with the one before. In the zero value nothing was
// sent.
type Prediction struct {
	// Busy is when the machine should be done with everything it was sent.
	Busy time.Duration

	ahead []due // chunks predicted not to be done yet
	done  int   // offset of the text predicted to be done
}

// due is when a chunk should be begun and done.
type due struct {
	from, at   time.Duration
	start, end int
}

// Sent records that the chunk of text from start to end, which takes the given
// seconds to carry out, was sent at the time now.
func (p *Prediction) Sent(now time.Duration, start, end int, secs float64) {
	from := max(p.Busy, now)
	p.Busy = from + time.Duration(secs*float64(time.Second))
	p.ahead = append(p.ahead, due{from, p.Busy, start, end})
}

// Next returns when the first chunk that is not done should be, and false if all
// should be done.
func (p *Prediction) Next() (time.Duration, bool) {
	if len(p.ahead) == 0 {
		return 0, false
	}
	return p.ahead[0].at, true
}

// At returns the offset of the text that should be done now, within a chunk in
// proportion to its time.
func (p *Prediction) At(now time.Duration) int {
	n := 0
	for n < len(p.ahead) && p.ahead[n].at <= now {
		p.done = p.ahead[n].end
		n++
	}
	p.ahead = p.ahead[n:]
	if len(p.ahead) == 0 || now <= p.ahead[0].from {
		return p.done
	}
	d := p.ahead[0]
	f := float64(now-d.from) / float64(d.at-d.from)
	return max(p.done, d.start+int(f*float64(d.end-d.start)))
}
