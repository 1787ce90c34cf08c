package survey

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync/atomic"
	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
)

// byLines carries out the orders on the lines of in; a line that begins with # is a
// remark. It ends at the first order that fails, because a script cannot react to
// it.
func (v *survey) byLines(ctx context.Context, in io.Reader) error {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	for n := 1; ; n++ {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case line, more := <-lines:
			if !more {
				return nil
			}
			if strings.HasPrefix(strings.TrimSpace(line), "#") {
				continue
			}
			err := v.do(line)
			switch f := fault.Request(err); {
			case errors.Is(err, errDone):
				return nil
			case f != nil && f.Where == "":
				return fault.At(fmt.Sprintf("line %d of the input", n), f)
			case err != nil:
				return err
			}
		}
	}
}

const surveyKeys = `keys: the arrows, or a d w s, step left, right, up and down
      1 2 3 4 make a step 0.1 mm, 1 mm, 10 mm, one channel
      m mark here          n to the next mark      g to channels of your choice
      b back to a mark     x forget a mark         t to a place on the machine
      f the fit again      p park the pen          ? these keys        q done`

var (
	// moves are the keys that move the pen by a step; plainKeys are the other keys
	// that need no answer.
	moves     = map[terminal.Key]string{terminal.KeyLeft: "left", terminal.KeyRight: "right", terminal.KeyUp: "up", terminal.KeyDown: "down", 'a': "left", 'd': "right", 'w': "up", 's': "down"}
	plainKeys = map[terminal.Key]string{'1': "step 0.1mm", '2': "step 1mm", '3': "step 10mm", '4': "step channel",
		'n': "next", 'f': "marks", 'p': "park", 'q': "done"}
	// questions are the keys for which the person is asked for the rest of the order.
	questions = map[terminal.Key]struct{ order, question string }{
		'm': {"mark", "channels across and along"},
		'g': {"seek", "to channels across and along"},
		'b': {"back", "back to mark number"},
		'x': {"remove", "forget mark number"},
		't': {"to", "to x and y, such as 61.2mm 48.9mm"},
	}
)

// mostSteps is how many steps may be pending: the one under way, and one more.
const mostSteps = 2

// typed holds the keys that were pressed and are not handled yet.
type typed struct {
	keys  chan terminal.Key
	steps atomic.Int32 // those among them, and under way, that are steps
}

// press adds a key. It drops steps beyond mostSteps, so that the pen stops soon
// after the key is released.
func (t *typed) press(p terminal.Key) {
	if _, step := moves[p]; step && t.steps.Add(1) > mostSteps {
		t.steps.Add(-1)
		return
	}
	select {
	case t.keys <- p:
	default: // nobody types so far ahead
		t.done(p)
	}
}

// done counts a key as handled.
func (t *typed) done(p terminal.Key) {
	if _, step := moves[p]; step {
		t.steps.Add(-1)
	}
}

// next waits for a key.
func (t *typed) next(ctx context.Context) (terminal.Key, error) {
	select {
	case p := <-t.keys:
		return p, nil
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

// byKeys carries out orders that come as keys. It reports an order that fails and
// goes on.
func (v *survey) byKeys(ctx context.Context, k *terminal.Keyboard) error {
	t := &typed{keys: make(chan terminal.Key, 64)}
	defer k.Hand(t.press)()
	v.say("%s", surveyKeys)
	for {
		p, err := t.next(ctx)
		if err != nil {
			return err
		}
		line, err := v.order(ctx, t, p)
		if err == nil {
			err = v.do(line)
		}
		t.done(p)
		switch f := fault.Request(err); {
		case errors.Is(err, errDone):
			return nil
		case f != nil:
			v.say("%s", v.words(f.Error()+": "+f.Do))
		case err != nil:
			return err
		}
	}
}

// order returns the order of a key as a line, and asks for its arguments where it
// needs some. A key without a meaning gives an empty line.
func (v *survey) order(ctx context.Context, t *typed, p terminal.Key) (string, error) {
	if line, ok := moves[p]; ok {
		return line, nil
	}
	if line, ok := plainKeys[p]; ok {
		return line, nil
	}
	if p == '?' {
		v.say("%s", surveyKeys)
	}
	a, ok := questions[p]
	if !ok {
		return "", nil
	}
	question := a.question
	if p == 'm' && v.sought != nil {
		question += fmt.Sprintf(", Enter for %g %g", v.sought.Across, v.sought.Along)
	}
	rest, err := v.readLine(ctx, t, question)
	if err != nil {
		return "", err
	}
	if rest == "" && (p != 'm' || v.sought == nil) {
		v.say("nothing is done")
		return "", nil
	}
	return a.order + " " + rest, nil
}

// readLine shows a question and what is typed, until Enter.
func (v *survey) readLine(ctx context.Context, t *typed, question string) (string, error) {
	fmt.Fprintf(v.w, "%s: ", question)
	var text []byte
	for {
		p, err := t.next(ctx)
		t.done(p) // here it is a letter, not a step
		switch {
		case err != nil:
			fmt.Fprintln(v.w)
			return "", err
		case p == terminal.KeyEnter:
			fmt.Fprintln(v.w)
			return strings.TrimSpace(string(text)), nil
		case p == terminal.KeyErase && len(text) > 0:
			text = text[:len(text)-1]
			fmt.Fprint(v.w, "\b \b")
		case p >= ' ' && p < terminal.KeyErase && len(text) < 60:
			text = append(text, byte(p))
			fmt.Fprintf(v.w, "%c", p)
		}
	}
}
