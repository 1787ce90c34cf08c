package door

import (
	"slices"
	"sync"
	"time"
)

// Pages knows which pages are open and which of them leads: the one open
// longest. The others may watch and stop, nothing else.
//
// The page that leads keeps one request open, by which it is told of news: when
// that ends, the page is gone, and the next takes over. The others ask for news
// again and again, so that a browser's few connections are not used up.
type Pages struct {
	mu   sync.Mutex
	list []*openPage // in the order in which they were opened
	turn string      // what the next motion must be asked for with
	lead string      // whose turn it is
	now  func() time.Time
}

type openPage struct {
	id      string
	heard   time.Time
	gone    time.Time // when it said that it closes, or its stream dropped; zero while it is open
	streams int       // that it holds
}

const (
	// silence is how long a page without a stream may say nothing before it is
	// taken to be gone. It asks for news several times a second, from a worker,
	// which a browser does not slow down in the background.
	silence = 2 * time.Second
	// grace is how long a page that closes keeps its lead: a reload takes that
	// long on a quick computer.
	grace = 200 * time.Millisecond
	// kept is how long the place of a page that closed is kept for it: one that
	// is loaded again on a slow computer gets it back.
	kept = time.Minute
	// most is how many pages are kept in mind.
	most = 64
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
	o := p.page(id)
	o.heard, o.gone = p.now(), time.Time{}
	return p.told(id)
}

// Stream notes that a page holds a stream. What it returns is called when the
// stream has dropped.
func (p *Pages) Stream(id string) (dropped func()) {
	p.mu.Lock()
	defer p.mu.Unlock()
	o := p.page(id)
	o.heard, o.gone = p.now(), time.Time{}
	o.streams++
	return func() {
		p.mu.Lock()
		defer p.mu.Unlock()
		o.streams--
		o.heard = p.now()
		if o.streams == 0 && o.gone.IsZero() {
			o.gone = p.now()
		}
	}
}

// Tell returns whether a page leads and with what it may ask for a motion,
// without having heard from it.
func (p *Pages) Tell(id string) (lead bool, turn string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.told(id)
}

// told is Tell; p.mu is held.
func (p *Pages) told(id string) (lead bool, turn string) {
	if id == "" || p.leader(p.now()) != id {
		return false, ""
	}
	return true, p.turn
}

// page returns the page of a name, a new one where there is none; p.mu is held.
func (p *Pages) page(id string) *openPage {
	i := slices.IndexFunc(p.list, func(o *openPage) bool { return o.id == id })
	if i >= 0 {
		return p.list[i]
	}
	o := &openPage{id: id}
	if len(p.list) < most { // more than that nobody has open: they may watch
		p.list = append(p.list, o)
	}
	return o
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
	p.list = slices.DeleteFunc(p.list, func(o *openPage) bool { return o.streams == 0 && t.Sub(o.heard) > kept })
	lead := ""
	for _, o := range p.list {
		if !o.away(t) {
			lead = o.id
			break
		}
	}
	if lead != p.lead {
		p.lead, p.turn = lead, NewSecret()
	}
	return lead
}

// away reports whether a page is not there at t.
func (o *openPage) away(t time.Time) bool {
	if !o.gone.IsZero() {
		return t.Sub(o.gone) > grace
	}
	return o.streams == 0 && t.Sub(o.heard) > silence
}

// Leads reports whether a page leads.
func (p *Pages) Leads(id string) bool {
	lead, _ := p.Tell(id)
	return lead
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
