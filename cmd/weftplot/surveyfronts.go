package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"weftplot/paths"
)

// byLines carries out what stands on the lines of in; one that begins with # is
// a remark. A line that cannot be done ends it: a script does not see what came
// of the line before.
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
			var f *paths.Fault
			switch {
			case errors.Is(err, errDone):
				return nil
			case errors.As(err, &f) && f.Where == "":
				g := *f
				g.Where = fmt.Sprintf("line %d of the input", n)
				return &g
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
	// moves are the keys that move the pen by a step, plainKeys the others that
	// ask nothing.
	moves     = map[key]string{keyLeft: "left", keyRight: "right", keyUp: "up", keyDown: "down", 'a': "left", 'd': "right", 'w': "up", 's': "down"}
	plainKeys = map[key]string{'1': "step 0.1mm", '2': "step 1mm", '3': "step 10mm", '4': "step channel",
		'n': "next", 'f': "marks", 'p': "park", 'q': "done"}
	// questions are the keys that ask for the rest of the line.
	questions = map[key]struct{ order, question string }{
		'm': {"mark", "channels across and along"},
		'g': {"seek", "to channels across and along"},
		'b': {"back", "back to mark number"},
		'x': {"remove", "forget mark number"},
		't': {"to", "to x and y, such as 61.2mm 48.9mm"},
	}
)

// What a survey does with the keys for steps.
const (
	ready  int32 = iota // the next one is a step
	busy                // the pen moves, and they are dropped
	asking              // they are part of an answer
)

// byKeys carries out what a person's keys say. What cannot be done is said, and
// it goes on. A step asked for while the pen still moves is dropped: when the
// key is let go the pen stops.
func (v *survey) byKeys(ctx context.Context, k *keyboard) error {
	pressed := make(chan key, 64)
	defer k.hand(func(p key) {
		if _, step := moves[p]; step && v.state.Load() != asking && !v.state.CompareAndSwap(ready, busy) {
			return
		}
		select {
		case pressed <- p:
		default: // nobody types so far ahead
		}
	})()
	v.say("%s", surveyKeys)
	for {
		line, err := v.ask(ctx, pressed)
		if err != nil {
			return err
		}
		v.state.Store(busy)
		err = v.do(line)
		v.state.Store(ready)
		var f *paths.Fault
		switch {
		case errors.Is(err, errDone):
			return nil
		case errors.As(err, &f):
			v.say("%s: %s", f, f.Do)
		case err != nil:
			return err
		}
	}
}

// ask waits for keys that make an order.
func (v *survey) ask(ctx context.Context, pressed <-chan key) (string, error) {
	for {
		p, err := nextKey(ctx, pressed)
		if err != nil {
			return "", err
		}
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
			continue
		}
		question := a.question
		if p == 'm' && v.sought != nil {
			question += fmt.Sprintf(", Enter for %g %g", v.sought.Across, v.sought.Along)
		}
		rest, err := v.readLine(ctx, pressed, question)
		if err != nil {
			return "", err
		}
		if rest == "" && (p != 'm' || v.sought == nil) {
			v.say("nothing is done")
			continue
		}
		return a.order + " " + rest, nil
	}
}

func nextKey(ctx context.Context, pressed <-chan key) (key, error) {
	select {
	case p := <-pressed:
		return p, nil
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

// readLine shows a question and what is typed, until Enter.
func (v *survey) readLine(ctx context.Context, pressed <-chan key, question string) (string, error) {
	v.state.Store(asking)
	defer v.state.Store(ready)
	fmt.Fprintf(v.w, "%s: ", question)
	var text []byte
	for {
		p, err := nextKey(ctx, pressed)
		switch {
		case err != nil:
			fmt.Fprintln(v.w)
			return "", err
		case p == keyEnter:
			fmt.Fprintln(v.w)
			return strings.TrimSpace(string(text)), nil
		case p == keyErase && len(text) > 0:
			text = text[:len(text)-1]
			fmt.Fprint(v.w, "\b \b")
		case p >= ' ' && p < keyErase && len(text) < 60:
			text = append(text, byte(p))
			fmt.Fprintf(v.w, "%c", p)
		}
	}
}
