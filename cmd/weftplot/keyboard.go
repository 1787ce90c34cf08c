package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
)

// key is a key that the person pressed: a character, or one of those below.
type key rune

const (
	keyEnter key = '\n'
	keyErase key = 0x7f
	keyUp    key = -1 - iota
	keyDown
	keyRight
	keyLeft
)

// keyboard hands the person's keys, one by one, to whoever listens at the
// moment. A key that nobody listens for is dropped, so that none is taken for
// the answer to a question that was not asked yet.
type keyboard struct {
	tty  *terminal
	show io.Writer

	mu     sync.Mutex
	listen func(key)
}

// openKeyboard returns nil where there is no person at a terminal: the input and
// what is shown to the person both have to be one.
func openKeyboard(s streams) (*keyboard, error) {
	f, ok := s.in.(*os.File)
	if !ok || !onTerminal(s.in) || !onTerminal(s.err) || inBackground(int(f.Fd())) {
		return nil, nil
	}
	k := &keyboard{tty: s.tty, show: s.err}
	if k.tty == nil {
		k.tty = &terminal{}
	}
	if err := k.tty.take(f); err != nil {
		return nil, fmt.Errorf("the terminal does not hand over single keys: %w", err)
	}
	go k.read(f, s.interrupt)
	return k, nil
}

// Close puts the terminal back as it was. It may be called again, and on none.
func (k *keyboard) Close() {
	if k != nil {
		k.tty.restore()
	}
}

// read takes keys in until the terminal is gone. The goroutine of it lives as
// long as the program.
func (k *keyboard) read(f *os.File, interrupt func()) {
	var d decoder
	buf := make([]byte, 64)
	for {
		n, err := f.Read(buf)
		for _, b := range buf[:n] {
			p, ok := d.take(b)
			switch {
			case !ok:
			case p == 3: // Ctrl-C, where the terminal does not make a signal of it
				if interrupt != nil {
					interrupt()
				}
			default:
				k.press(p)
			}
		}
		if err != nil {
			return
		}
	}
}

func (k *keyboard) press(p key) {
	k.mu.Lock()
	listen := k.listen
	k.mu.Unlock()
	if listen != nil {
		listen(p)
	}
}

// hand gives the keys to another listener, and returns how to give them back.
// The listener must not wait.
func (k *keyboard) hand(listen func(key)) (back func()) {
	k.mu.Lock()
	defer k.mu.Unlock()
	before := k.listen
	k.listen = listen
	return func() {
		k.mu.Lock()
		defer k.mu.Unlock()
		k.listen = before
	}
}

// ask waits for one of the keys and returns it. Capital letters do as well.
func (k *keyboard) ask(ctx context.Context, among string) (key, error) {
	pressed := make(chan key, 1)
	defer k.hand(func(p key) {
		if p >= 'A' && p <= 'Z' {
			p += 'a' - 'A'
		}
		if p > 0 && strings.ContainsRune(among, rune(p)) {
			select {
			case pressed <- p:
			default: // answered already
			}
		}
	})()
	select {
	case p := <-pressed:
		return p, nil
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

// decoder makes keys of bytes. The keys with arrows come as three bytes or more,
// ESC [ A and ESC O A (ECMA-48, cursor keys as terminals commonly send them);
// other such sequences, and characters beyond ASCII, are no keys here.
type decoder struct{ after byte }

func (d *decoder) take(b byte) (key, bool) {
	const esc = 0x1b
	before := d.after
	d.after = 0
	switch {
	case b == esc:
		d.after = esc
	case before == esc && (b == '[' || b == 'O'):
		d.after = b
	case (before == '[' || before == 'O') && b < 0x40:
		d.after = before // a parameter
	case before == '[' || before == 'O':
		arrows := map[byte]key{'A': keyUp, 'B': keyDown, 'C': keyRight, 'D': keyLeft}
		p, ok := arrows[b]
		return p, ok
	case b == '\r':
		return keyEnter, true
	case b == '\b':
		return keyErase, true
	case b < 0x80:
		return key(b), true
	}
	return 0, false
}
