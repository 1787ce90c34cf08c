package terminal

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
)

// Key is a key that the person pressed: a character, or one of those below.
type Key rune

// Keys that are no characters.
const (
	KeyEnter Key = '\n'
	KeyErase Key = 0x7f
	KeyUp    Key = -1 - iota
	KeyDown
	KeyRight
	KeyLeft
)

// Keyboard hands the person's keys, one by one, to whoever listens at the
// moment. A key that nobody listens for is dropped, so that none is taken for
// the answer to a question that was not asked yet.
type Keyboard struct {
	tty  *Terminal
	show io.Writer

	mu     sync.Mutex
	listen func(Key)
}

// OpenKeyboard returns the keyboard of the person at the terminal. It returns nil
// unless the input and the standard error are both a terminal. A terminal that
// cannot be set to single keys is an error.
func OpenKeyboard(s Streams) (*Keyboard, error) {
	f, ok := s.In.(*os.File)
	if !ok || !OnTerminal(s.In) || !OnTerminal(s.Err) || inBackground(int(f.Fd())) {
		return nil, nil
	}
	k := &Keyboard{tty: s.TTY, show: s.Err}
	if k.tty == nil {
		k.tty = &Terminal{}
	}
	if err := k.tty.take(f); err != nil {
		return nil, fmt.Errorf("the terminal does not hand over single keys: %w", err)
	}
	go k.read(f, s.Signals)
	return k, nil
}

// Close puts the terminal back as it was. It may be called again, and on nil.
func (k *Keyboard) Close() {
	if k != nil {
		k.tty.Restore()
	}
}

// read reads keys until the terminal is closed. Its goroutine lives as long as the
// program.
func (k *Keyboard) read(f *os.File, signals *Signals) {
	var d decoder
	buf := make([]byte, 64)
	for {
		n, err := f.Read(buf)
		for _, b := range buf[:n] {
			p, ok := d.take(b)
			switch {
			case !ok:
			case p == 3: // Ctrl-C, where the terminal does not make a signal of it
				signals.Take(Interrupt)
			default:
				k.press(p)
			}
		}
		if err != nil {
			return
		}
	}
}

func (k *Keyboard) press(p Key) {
	k.mu.Lock()
	listen := k.listen
	k.mu.Unlock()
	if listen != nil {
		listen(p)
	}
}

// Hand gives the keys to another listener, and returns how to give them back.
// The listener must not wait.
func (k *Keyboard) Hand(listen func(Key)) (back func()) {
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

// Ask asks a question, waits for one of the keys and returns it. Capital letters do as
// well. It listens before the question is seen, so that no answer comes too early.
func (k *Keyboard) Ask(ctx context.Context, question, among string) (Key, error) {
	pressed := make(chan Key, 1)
	defer k.Hand(func(p Key) {
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
	fmt.Fprint(k.show, question)
	select {
	case p := <-pressed:
		return p, nil
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

// decoder turns bytes into keys. Arrow keys come as three bytes or more,
// ESC [ A and ESC O A (ECMA-48, cursor keys as terminals commonly send them);
// other sequences, and characters beyond ASCII, are ignored.
type decoder struct{ after byte }

func (d *decoder) take(b byte) (Key, bool) {
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
		arrows := map[byte]Key{'A': KeyUp, 'B': KeyDown, 'C': KeyRight, 'D': KeyLeft}
		p, ok := arrows[b]
		return p, ok
	case b == '\r':
		return KeyEnter, true
	case b == '\b':
		return KeyErase, true
	case b < 0x80:
		return Key(b), true
	}
	return 0, false
}
