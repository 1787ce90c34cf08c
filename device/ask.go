package device

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"weftplot/profiles"
)

// Manner is a way of talking that a port answers to.
type Manner struct {
	Flow profiles.Flow
	// Says is what it answered, for a person to read.
	Says string
}

// Ask finds out which of the known manners the machine at a port answers to,
// without moving anything. None, with no error, means that it is silent: it may
// be switched off, run at another baud rate, or be one that only listens.
func Ask(ctx context.Context, port Port, s profiles.Serial) ([]Manner, error) {
	w := newWire(port, s.Baud)
	w.stop = ctx.Err
	l := newLineAck(w, Job{Machine: profiles.Machine{Serial: s}}, course{})
	if _, err := l.hearBanner(); err != nil {
		return nil, err
	}
	var out []Manner
	for _, q := range questions {
		if err := q.put(w); err != nil {
			return nil, err
		}
		said := strings.TrimSpace(string(w.in))
		w.in = nil
		if text, ok := q.answered(said); ok {
			if l.banner != "" && q.flow == profiles.LineAck {
				text += fmt.Sprintf(", and when it starts %q", l.banner)
			}
			out = append(out, Manner{q.flow, text})
		}
	}
	return out, nil
}

// question is something that a machine of a kind answers and no other minds.
type question struct {
	flow     profiles.Flow
	text     string
	answered func(said string) (string, bool)
}

// questions begin with those that a wrong machine takes no notice of. An
// enquiry is the weakest sign: with no handshake set it is answered all the
// same.
var questions = []question{
	{profiles.LineAck, "?\n", func(said string) (string, bool) {
		for _, line := range strings.FieldsFunc(said, func(r rune) bool { return r == '\r' || r == '\n' }) {
			if k := parseReply(line).kind; k == replyOK || k == replyError {
				return fmt.Sprintf("an empty line is answered %q", said), true
			}
		}
		return "", false
	}},
	{profiles.SpaceQuery, spaceQuestion, func(said string) (string, bool) {
		n, err := strconv.Atoi(said)
		return fmt.Sprintf("it has room for %d bytes", n), err == nil && n >= 0
	}},
	{profiles.EnqAck, string(rune(enq)), func(said string) (string, bool) {
		return "an enquiry is acknowledged", strings.IndexByte(said, ack) >= 0
	}},
}

// put asks and waits for what comes.
func (q question) put(w *wire) error {
	w.in = nil
	if err := w.write([]byte(q.text)); err != nil {
		return err
	}
	if _, err := w.read(w.now() + replyTime); err != nil {
		return err
	}
	return w.quiet(200*time.Millisecond, w.now()+replyTime)
}
