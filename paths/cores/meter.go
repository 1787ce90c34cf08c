package cores

import "sync"

// A Meter tells how much of a stage is done. It may be used by several goroutines: the
// function it tells is not called twice at a time, and never with less than before. A
// nil Meter tells nobody.
type Meter struct {
	tell  func(done, total int)
	total int

	mu         sync.Mutex
	done, told int
}

// steps is how often a Meter tells at most.
const steps = 500

// NewMeter returns a Meter of total parts that tells a function; nil where that is nil or
// there are no parts.
func NewMeter(total int, tell func(done, total int)) *Meter {
	if tell == nil || total <= 0 {
		return nil
	}
	return &Meter{tell: tell, total: total}
}

// Add says that n more parts are done. What goes over the total counts as the total.
func (m *Meter) Add(n int) {
	if m == nil {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.done = min(m.total, m.done+n)
	if m.done == m.told || m.done < m.total && (m.done-m.told)*steps < m.total {
		return
	}
	m.told = m.done
	m.tell(m.done, m.total)
}

// To says that a share of all parts is done, between 0 and 1; less than before is
// nothing.
func (m *Meter) To(share float64) {
	if m == nil {
		return
	}
	m.mu.Lock()
	more := int(share*float64(m.total)) - m.done
	m.mu.Unlock()
	if more > 0 {
		m.Add(more)
	}
}
