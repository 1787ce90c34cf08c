package device

import (
	"context"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"

	"weftplot/device/flow/answers"
	"weftplot/device/flow/streamed"
	"weftplot/device/line"
	"weftplot/profiles"
)

// Answer is a flow control that the machine at a port answers to.
type Answer struct {
	Flow profiles.Flow
	// Says is what it answered, for a person to read.
	Says string
}

// Ask finds out which flow controls the machine at a port answers to, and, of
// those that acknowledge lines, in the manner of which built-in profile. It sends
// empty lines, questions and enquiries, and nothing that could move a machine of
// any of these kinds. No answer, with no error, means that the machine is silent:
// it may be switched off, run at another baud rate, or be one that only listens.
// The error is that of the line or of ctx. It takes some 2 s a manner.
func Ask(ctx context.Context, port line.Port, s profiles.Serial) ([]Answer, error) {
	w := line.NewWire(port, s.Baud)
	w.Stop = ctx.Err
	said, err := hear(w, bootTime)
	if err != nil {
		return nil, err
	}
	lineQuestions, err := mannerQuestions(said)
	if err != nil {
		return nil, err
	}
	var out []Answer
	for _, q := range append(lineQuestions, questions...) {
		w.Drop()
		if err := w.Write([]byte(q.text)); err != nil {
			return nil, err
		}
		said, err := hear(w, answerTime)
		if err != nil {
			return nil, err
		}
		if text, ok := q.answered(said); ok {
			out = append(out, Answer{q.flow, text})
		}
	}
	return out, nil
}

const (
	bootTime   = 2500 * time.Millisecond // from opening the port to the first word of a machine that restarts
	answerTime = 1500 * time.Millisecond
	answerGap  = 200 * time.Millisecond // an answer has ended when nothing came for so long
)

// hear returns what comes, if its first byte comes within limit.
func hear(w *line.Wire, limit time.Duration) (string, error) {
	w.Drop()
	came, err := w.Read(w.Now() + limit)
	if err == nil && came {
		err = w.Quiet(answerGap, w.Now()+limit)
	}
	return strings.TrimSpace(string(w.Pending())), err
}

// question is something that machines of a kind answer and no others mind.
type question struct {
	flow     profiles.Flow
	text     string
	answered func(said string) (string, bool)
}

// questions are those of the published handshakes, the ones first that a wrong
// machine takes no notice of. An enquiry is the weakest sign: with no handshake
// set it is answered all the same.
var questions = []question{
	{profiles.SpaceQuery, streamed.SpaceQuestion, func(said string) (string, bool) {
		n, err := strconv.Atoi(said)
		return fmt.Sprintf("it has room for %d bytes", n), err == nil && n >= 0
	}},
	{profiles.EnqAck, streamed.Enquiry, func(said string) (string, bool) {
		return "an enquiry is acknowledged", strings.Contains(said, streamed.EnquiryAnswer)
	}},
}

// known is a manner and the built-in profiles that have it.
type known struct {
	manner profiles.Manner
	names  []string
}

// knownManners returns the manners of the built-in profiles whose controllers
// acknowledge lines.
func knownManners() ([]known, error) {
	var out []known
	for _, name := range profiles.Names(profiles.MachineKind) {
		m, err := profiles.MachineNamed(name)
		if err != nil {
			return nil, err
		}
		if m.Serial.Flow != profiles.LineAck {
			continue
		}
		i := 0
		for i < len(out) && !reflect.DeepEqual(out[i].manner, m.Serial.Manner) {
			i++
		}
		if i == len(out) {
			out = append(out, known{manner: m.Serial.Manner})
		}
		out[i].names = append(out[i].names, name)
	}
	return out, nil
}

// mannerQuestions returns a question for each known manner: its question for the
// status, and an empty line. A byte that makes a controller of another manner
// move or stop is not sent. When a machine said something as the port was opened,
// that is told too.
func mannerQuestions(atStart string) ([]question, error) {
	manners, err := knownManners()
	if err != nil {
		return nil, err
	}
	acting := ""
	for _, k := range manners {
		acting += k.manner.Hold + k.manner.GoOn + k.manner.Reset
	}
	var out []question
	for _, k := range manners {
		text := "\n"
		if !strings.Contains(acting, k.manner.Ask) {
			text = k.manner.Ask + "\n"
		}
		out = append(out, question{profiles.LineAck, text, func(said string) (string, bool) {
			if ok, err := answers.Speaks(k.manner, said); err != nil || !ok {
				return "", false
			}
			says := fmt.Sprintf("an empty line is answered %q, as the built-in profiles %s have it", said, strings.Join(k.names, ", "))
			if atStart != "" {
				says += fmt.Sprintf(", and when it starts %q", atStart)
			}
			return says, true
		}})
	}
	return out, nil
}
