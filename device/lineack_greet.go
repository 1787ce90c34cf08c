package device

import (
	"strings"
	"time"
	"weftplot/paths/fault"
)

// leftover is how long a machine may go on with what an earlier sender left in
// it.
const leftover = 10 * time.Minute

// greetings are what a controller is to answer: an empty line, which also ends
// half a line that it may hold. Some pass over empty lines and answer only what
// does something, so the next ask for millimetres, as every program does first.
var greetings = []string{"\n", "\nG21\n", "\nG21\n"}

// greet waits for the banner of a controller that restarts when its port is
// opened, finds out whether it answers status queries, lets it end what it is
// at, clears it of half a line that an earlier sender may have left, and sees it
// answer an empty line.
func (l *lineAck) greet() error {
	babble, err := l.hearBanner()
	if err != nil {
		return err
	}
	for range 3 {
		r, err := l.query()
		if err != nil {
			return err
		}
		if l.live = r.kind == replyStatus; l.live {
			break
		}
	}
	if l.live {
		if err := l.clear(); err != nil {
			return err
		}
	}
	for _, greeting := range greetings {
		if err := l.w.write([]byte(greeting)); err != nil {
			return err
		}
		r, err := l.next(l.w.now()+replyTime, replyOK, replyError)
		if err != nil {
			return err
		}
		if r.kind != replyNoise {
			return l.begin()
		}
		babble = babble || l.babbled
	}
	return l.unheard(babble || l.babbled)
}

// begin notes where the machine stands and what time it is.
func (l *lineAck) begin() error {
	if err := l.w.quiet(pollAgain, l.w.now()+replyTime); err != nil {
		return err
	}
	l.w.in = nil
	if l.live {
		if _, err := l.query(); err != nil {
			return err
		}
	}
	l.heard, l.answered = l.w.now(), l.w.now()
	return nil
}

// unheard says why nothing came of the greeting.
func (l *lineAck) unheard(babble bool) error {
	if babble {
		return garbage(l.job)
	}
	return &fault.Error{Kind: Silent, What: "the machine does not answer",
		Do: "look whether it is switched on, the port is the right one, and serial.baud and serial.flow of its profile are what its manual says"}
}

// hearBanner waits for what the machine may say when its port is opened, and
// keeps the last line of it. It reports whether any of it makes no sense.
func (l *lineAck) hearBanner() (babble bool, err error) {
	came, err := l.w.read(l.w.now() + bootTime)
	if err != nil || !came {
		return false, err
	}
	if err := l.w.quiet(200*time.Millisecond, l.w.now()+bootTime); err != nil {
		return false, err
	}
	for s, ok := l.w.line(); ok; s, ok = l.w.line() {
		if isBabble(s) {
			babble = true
		} else if r := parseReply(s); r.kind == replyNoise && isTalk(r.text) {
			l.banner, l.rebooted = r.text, true
		}
	}
	babble = babble || isBabble(string(l.w.in))
	l.w.in = nil
	return babble, nil
}

// isTalk reports whether a line that is no answer is what a controller says for
// a person to read, and not the end of an answer whose beginning was missed.
func isTalk(s string) bool {
	letters := 0
	for _, r := range s {
		switch {
		case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z':
			letters++
		case strings.ContainsRune("<>|[]", r):
			return false
		}
	}
	return letters >= 5 // more than is left of "error" or "alarm"
}

// query asks for the status once and keeps the answer; without one the reply is
// noise.
func (l *lineAck) query() (reply, error) {
	if err := l.w.write([]byte{'?'}); err != nil {
		return reply{}, err
	}
	r, err := l.next(l.w.now()+replyTime/3, replyStatus)
	if r.kind == replyStatus {
		l.status = r
	}
	return r, err
}

// clear waits until the machine stands and resets it, so that it holds nothing
// and its modes are its own.
func (l *lineAck) clear() error {
	deadline := l.w.now() + leftover
	for misses := 0; l.status.state == "run"; {
		if err := l.w.quiet(pollEvery, l.w.now()+pollEvery); err != nil {
			return err
		}
		r, err := l.query()
		if err != nil {
			return err
		}
		if r.kind != replyStatus {
			misses++
		}
		if misses > 10 || l.w.now() > deadline {
			return &fault.Error{Kind: Silent, What: "the machine is busy with something else and does not come to an end", Do: "stop it at its panel, then send again"}
		}
	}
	if l.status.state == "alarm" {
		return &fault.Error{Kind: Alarm, What: "the machine is in alarm and will not move",
			Do: "clear its alarm and bring it home, as its manual says, then send again"}
	}
	if err := l.reset(); err != nil {
		return err
	}
	if r, err := l.query(); err != nil || r.state != "alarm" {
		return err
	}
	return &fault.Error{Kind: Alarm, What: "the machine is in alarm and will not move",
		Do: "clear its alarm and bring it home, as its manual says, then send again"}
}
