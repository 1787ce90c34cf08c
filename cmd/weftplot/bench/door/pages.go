package door

import (
	"slices"
	"sync"
	"time"
)

// Pages knows which pages are open and which of them leads: the one open
// longest. The others may watch and stop, nothing else.
type Pages struct {
	mu   sync.Mutex
	list []*openPage // in the order in which they were opened
	turn string      // what the next motion must be asked for with
	lead string      // whose turn it is
	now  func() time.Time
}

type openPage struct {
	id    string
	heard time.Time
	gone  time.Time // when it said that it closes; zero while it is open
}

const (
	// silence is how long a page may say nothing before it is taken to be gone.
	// A page asks for news several times a second, from a worker, which a browser
	// does not slow down in the background.
	silence = 4 * time.Second
	// grace is how long a page that closes keeps its lead: a reload takes that
	// long.
	grace = 300 * time.Millisecond
	// kept is how long the place of a page that closed is kept for it: one that
	// is loaded again on a slow computer gets it back.
	kept = time.Minute
)

// NewPages returns the pages of a server that was just started.
func NewPages() *Pages { return &Pages{now: time.Now} }

// Hear notes that a page is there, and returns whether it leads and with what it
// may ask for a motion.
func (p *Pages) Hear(id string) (lead bool, turn string) {
	if id == "" {
		return false, "" // nobody's page
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	t := p.now()
	i := slices.IndexFunc(p.list, func(o *openPage) bool { return o.id == id })
	if i < 0 {
		p.list = append(p.list, &openPage{id: id})
		i = len(p.list) - 1
	}
	p.list[i].heard, p.list[i].gone = t, time.Time{}
	if p.leader(t) != id {
		return false, ""
	}
	return true, p.turn
}

// Bye notes that a page closes.
func (p *Pages) Bye(id string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, o := range p.list {
		if o.id == id {
			o.gone = p.now()
		}
	}
}

// leader returns the page that leads at t; p.mu is held.
func (p *Pages) leader(t time.Time) string {
	p.list = slices.DeleteFunc(p.list, func(o *openPage) bool { return t.Sub(o.heard) > kept })
	lead := ""
	for _, o := range p.list {
		away := t.Sub(o.heard) > silence || !o.gone.IsZero() && t.Sub(o.gone) > grace
		if !away {
			lead = o.id
			break
		}
	}
	if lead != p.lead {
		p.lead, p.turn = lead, NewSecret()
	}
	return lead
}

// Leads reports whether a page leads.
func (p *Pages) Leads(id string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return id != "" && p.leader(p.now()) == id
}

// Take uses up the turn of the page that leads. It reports false for another
// page and for a turn that was used: a request that is sent again does nothing.
func (p *Pages) Take(id, turn string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if id == "" || turn == "" || p.leader(p.now()) != id || turn != p.turn {
		return false
	}
	p.turn = NewSecret()
	return true
}
