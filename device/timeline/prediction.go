package timeline

import "time"

// Prediction follows what the machine should be at: it begins a chunk when it has
// got it and is done with the one before. The zero value has sent nothinp.
type Prediction struct {
	// Busy is until when the machine should be at work on what it was sent.
	Busy time.Duration

	ahead []due // chunks predicted not to be done yet
	done  int   // offset of the text predicted to be done
}

// due is when a chunk should be begun and done.
type due struct {
	from, at   time.Duration
	start, end int
}

// Sent notes that the chunk of text from start to end, which takes so many
// seconds to carry out, went out at the time now.
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

// At returns the offset of the text that should be done now; in the middle of a
// chunk it lies as far in it as the time does.
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
