package door

import (
	"testing"
	"time"
)

func TestAMotionWorksOnce(t *testing.T) {
	p := NewPages()
	now := time.Unix(0, 0)
	p.now = func() time.Time { return now }
	lead, turn := p.Hear("a")
	if !lead || turn == "" {
		t.Fatal("the first page does not lead")
	}
	if lead, other := p.Hear("b"); lead || other != "" {
		t.Error("the second page leads, or is told the turn")
	}
	if p.Take("b", turn) {
		t.Error("the second page moved the machine")
	}
	if !p.Take("a", turn) || p.Take("a", turn) {
		t.Error("a turn does not work exactly once")
	}
	_, turn = p.Hear("a")
	p.Bye("a")
	now = now.Add(grace / 2)
	if lead, _ := p.Hear("b"); lead {
		t.Error("a page that is loaded again loses its place")
	}
	now = now.Add(grace)
	if lead, _ := p.Hear("b"); !lead {
		t.Error("the next page does not take over")
	}
	if p.Take("a", turn) {
		t.Error("a page that has gone moved the machine")
	}
	if lead, _ := p.Hear("a"); !lead {
		t.Error("a page that was slow to load again does not get its place back")
	}
	now = now.Add(silence + time.Second)
	p.Hear("b")
	if !p.Leads("b") {
		t.Error("a page that is silent goes on leading")
	}
}

// TestADroppedStream: the page that leads is gone when its stream drops, and the
// next takes over within half a second; a page whose stream stands may be silent
// for as long as it likes.
func TestADroppedStream(t *testing.T) {
	p := NewPages()
	now := time.Unix(0, 0)
	p.now = func() time.Time { return now }
	p.Hear("a")
	dropped := p.Stream("a")
	p.Hear("b")
	now = now.Add(time.Hour)
	p.Hear("b")
	if !p.Leads("a") || p.Leads("b") {
		t.Error("a page in the background, silent but connected, does not lead")
	}
	dropped()
	if !p.Leads("a") {
		t.Error("a page that is loaded again loses its place at once")
	}
	now = now.Add(400 * time.Millisecond)
	p.Hear("b")
	if !p.Leads("b") {
		t.Error("400 ms after the stream dropped the next page does not lead")
	}
	// It was only the line: the page is there again, and open longest.
	dropped = p.Stream("a")
	if !p.Leads("a") {
		t.Error("a page that comes back does not lead")
	}
	// Loaded again, its old stream drops after the new page was heard.
	second := p.Stream("a")
	dropped()
	now = now.Add(time.Second)
	if !p.Leads("a") {
		t.Error("the end of an old stream takes the lead of the page that was loaded again")
	}
	second()
}
