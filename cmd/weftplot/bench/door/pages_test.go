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
