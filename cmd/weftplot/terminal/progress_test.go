package terminal

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// A step that is silent is shown with how long it takes, one that tells how far it is is
// not, and nothing is shown when it is done.
func TestSilentStepsAreShown(t *testing.T) {
	var screen bytes.Buffer
	told := func() string {
		text := screen.String()
		screen.Reset()
		return text
	}
	p := &Progress{s: Streams{Err: &screen}, on: true, stop: make(chan struct{})} // the test is the clock
	p.Begin("looking")
	if text := told(); text != "" {
		t.Errorf("a step that just begins shows %q", text)
	}
	for _, c := range []struct {
		after time.Duration
		want  string // "" for nothing
	}{{beat, ""}, {patience + beat, "looking, 1 s"}, {patience + 2*beat, ""}, {3 * time.Second, "looking, 3 s"}, {125 * time.Second, "looking, 2 min 5 s"}} {
		p.tick(p.began.Add(c.after))
		if text := told(); c.want == "" && text != "" || !strings.Contains(text, c.want) {
			t.Errorf("after %v of silence there is %q, want %q", c.after, text, c.want)
		}
	}
	p.Step("drawing", 3, 10)
	if text := told(); !strings.Contains(text, "drawing") || !strings.Contains(text, "30%") {
		t.Errorf("a step that tells how far it is shows %q", text)
	}
	p.tick(p.shown.Add(beat))
	if text := told(); text != "" {
		t.Errorf("a step that told something just now shows %q", text)
	}
	p.tick(p.shown.Add(2 * time.Second))
	if text := told(); !strings.Contains(text, "drawing, 2 s") || !strings.Contains(text, "30%") {
		t.Errorf("a step that fell silent shows %q", text)
	}
	p.Step("drawing", 3001, 10000) // a person sees no difference
	if text := told(); text != "" {
		t.Errorf("a step that hardly goes on shows %q", text)
	}
	p.tick(p.shown.Add(2 * time.Second))
	if text := told(); !strings.Contains(text, "drawing, ") {
		t.Errorf("a step that hardly goes on shows %q after a while", text)
	}
	p.Done()
	told()
	p.tick(p.shown.Add(time.Minute))
	if text := told(); text != "" {
		t.Errorf("after the end there is %q", text)
	}
}

// The words of a job that is being sent say themselves how long it takes.
func TestShownWordsStay(t *testing.T) {
	var screen bytes.Buffer
	p := &Progress{s: Streams{Err: &screen}, on: true, stop: make(chan struct{})}
	p.Show("sending", "0.10 of 2.00 m", 1, 20)
	screen.Reset()
	p.tick(p.shown.Add(time.Minute))
	if text := screen.String(); text != "" {
		t.Errorf("after a minute there is %q", text)
	}
}

// Words that follow others at once are not drawn at once, and not lost: a person who asks
// a machine to stop sees that it is stopping, also where nothing is told after that.
func TestLastWordsAreDrawn(t *testing.T) {
	var screen bytes.Buffer
	p := &Progress{s: Streams{Err: &screen}, on: true, stop: make(chan struct{})}
	p.Show("sending", "0.10 of 2.00 m", 1, 20)
	p.Show("sending", "stopping", 1, 20)
	p.tick(time.Now().Add(beat))
	if text := screen.String(); !strings.Contains(text, "0.10 of 2.00 m") || !strings.Contains(text, "stopping") {
		t.Errorf("there is %q", text)
	}
}
