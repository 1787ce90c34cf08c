package device

import (
	"fmt"
	"strings"
	"time"
	"weftplot/paths/fault"
)

// listen takes in every whole line that has come.
func (l *lineAck) listen() error {
	for {
		s, ok := l.w.line()
		if !ok {
			return nil
		}
		if err := l.take(parseReply(s)); err != nil {
			return err
		}
	}
}

func (l *lineAck) take(r reply) error {
	l.heard = l.w.now()
	switch r.kind {
	case replyOK:
		l.pop()
	case replyError:
		bad := sentLine{}
		if len(l.open) > 0 {
			bad = l.open[0]
		}
		l.pop()
		return l.rejected(bad, r.text)
	case replyAlarm:
		return &fault.Error{Kind: Alarm, What: fmt.Sprintf("the machine stopped by itself: %q", r.text),
			Do: "find out why from its manual; it may have lost its place, so bring it home before it draws again"}
	case replyStatus:
		return l.report(r)
	case replyNoise:
		return l.strange(r)
	}
	return nil
}

// pop counts the oldest line as answered. An answer too many is dropped: an
// acknowledgement that came twice.
func (l *lineAck) pop() {
	l.answered, l.idles = l.w.now(), 0
	if len(l.open) == 0 {
		return
	}
	first := l.open[0]
	l.window.answered(max(0, l.answered-first.gone))
	l.open = l.open[1:]
	l.nudged = l.nudged && len(l.open) > 0
	l.held -= first.bytes
	if first.end > 0 {
		l.end = first.end
		if l.acks = append(l.acks, first.end); len(l.acks) > deepest {
			l.acks = l.acks[1:]
		}
	}
}

// deepest is how many answered lines a controller may still be busy with: more
// than the planners of small controllers hold.
const deepest = 64

func (l *lineAck) rejected(bad sentLine, answer string) error {
	e := &fault.Error{Kind: Rejected, What: fmt.Sprintf("the machine refused %q with %q", bad.text, answer),
		Do: "its manual says what the number means; a line that is right may have been garbled on the way: try a shorter cable"}
	if bad.line > 0 {
		e.Where = lineName(bad.line)
	}
	return e
}

// strange judges a line that is no answer. The banner in mid-job says that the
// controller has restarted, and so has lost the lines it held and its place;
// anything else is noise until there is too much of it, but is looked into.
func (l *lineAck) strange(r reply) error {
	if r.text == "" {
		return nil
	}
	if l.banner != "" && strings.Contains(r.text, l.banner) {
		return &fault.Error{Kind: Restarted, What: fmt.Sprintf("the machine restarted in mid-job, saying %q: it no longer knows where it is", r.text),
			Do: "look at its power supply and at motors that stall; bring it home before it draws again"}
	}
	if l.noise++; l.noise > 100 {
		return &fault.Error{Kind: Garbled, What: fmt.Sprintf("too much of what comes from the machine makes no sense, as %q", r.text),
			Do: "look at the cable and keep it away from motors; compare serial.baud with the machine's manual"}
	}
	return nil
}

// watch looks at the clock when nothing has come.
func (l *lineAck) watch() error {
	now := l.w.now()
	if l.live {
		// Silence counts from a question that went unanswered: this computer may
		// itself have slept.
		if l.inVain > l.heard && now-l.inVain > deadAfter {
			return l.silence(now - l.inVain)
		}
		if now-l.asked >= l.lookEvery() {
			if l.inVain <= l.heard {
				l.inVain = now
			}
			return l.ask()
		}
		return nil
	}
	if now-l.answered > l.patience() {
		return l.silence(now - l.answered)
	}
	return nil
}

// ask asks for a status report. Answers come in the order of the questions; one
// that got lost makes those after it seem older than they are, until it is given
// up.
func (l *lineAck) ask() error {
	l.asked = l.w.now()
	for len(l.pending) > 0 && l.asked-l.pending[0] > deadAfter {
		l.pending = l.pending[1:]
	}
	l.pending = append(l.pending, l.asked)
	return l.w.write([]byte{'?'})
}

// patience is how long the next answer may take: twice the predicted time of
// all the motion that can lie between two answers, and some.
func (l *lineAck) patience() time.Duration {
	from := 0
	if len(l.acks) > 0 {
		from = l.acks[0]
	}
	return motionSlip + seconds(2*(l.course.at(l.last).seconds-l.course.at(from).seconds))
}

func (l *lineAck) silence(d time.Duration) error {
	return &fault.Error{Kind: Silent, What: fmt.Sprintf("the machine has said nothing for %.0f seconds", d.Seconds()),
		Do: "look at plug, power and the machine's stop switch"}
}

// report takes in a status report. One that says twice that nothing is left to
// do, while lines are not answered, means that their answers were lost, or they
// themselves: the position tells which.
func (l *lineAck) report(r reply) error {
	l.status = r
	l.told.hear(r)
	l.reports++
	if len(l.pending) > 0 {
		l.of, l.pending = l.pending[0], l.pending[1:]
	}
	switch {
	case r.state == "alarm":
		return l.take(reply{kind: replyAlarm, text: r.text})
	case r.state == "hold":
		return &fault.Error{Kind: Stopped, What: "the machine was put on hold, not by this program", Do: "send again with --resume"}
	case r.state != "idle" || len(l.open) == 0 || l.of < l.gone+pollAgain/2:
		l.idles = 0
		if len(l.open) > 0 && l.w.now()-l.answered > 2*l.patience() {
			return l.silence(l.w.now() - l.answered)
		}
		return l.follow()
	}
	if l.idles++; l.idles < 2 {
		return nil
	}
	return l.unanswered()
}

// unanswered deals with lines that will never be answered.
func (l *lineAck) unanswered() error {
	if !l.nudged {
		// Half a line may be waiting for an end that was lost on the way.
		l.nudged, l.idles = true, 0
		l.open = append(l.open, sentLine{bytes: 1})
		l.held++
		err := l.w.write([]byte{'\n'})
		l.gone = l.w.left
		return err
	}
	l.nudged = false
	if err := l.astray(); err != nil {
		return err
	}
	for len(l.open) > 0 {
		l.pop()
	}
	return nil
}
