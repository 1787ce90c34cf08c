//go:build unix

package bench

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/term"
)

// listener is a port on which a machine takes everything and never says a word.
func listener(t *testing.T) string {
	t.Helper()
	far, tty, err := pty.Open()
	if err != nil {
		t.Skipf("there is no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() { far.Close(); tty.Close() })
	if _, err := term.MakeRaw(int(tty.Fd())); err != nil {
		t.Fatal(err)
	}
	go io.Copy(io.Discard, far)
	return tty.Name()
}

// TestAMachineThatOnlyPredicts draws on a plotter that does not say whether it has
// drawn all: the person at it is asked, and the journal has what was said.
func TestAMachineThatOnlyPredicts(t *testing.T) {
	t.Parallel()
	for _, drawn := range []bool{true, false} {
		t.Run(fmt.Sprint(drawn), func(t *testing.T) {
			t.Parallel()
			b, _, _ := attacked(t)
			onMachine(t, b, "flatbed-hpgl", func(s string) string {
				return strings.Replace(s, `flow = "space-query"`, `flow = "none"`, 1)
			})
			if err := b.start(doDraw, listener(t), part{}); err != nil {
				t.Fatal(err)
			}
			waitUntil(t, b, func() bool { return b.run == nil || b.run.confirm })
			if b.run == nil {
				t.Fatalf("nobody was asked: %+v %+v", b.last, b.last.trouble)
			}
			if s := b.news(true, "", -1).Status; s.Word != wordHeld || !s.Confirm {
				t.Errorf("the page is told %+v", s)
			}
			b.answered(drawn)
			waitUntil(t, b, func() bool { return b.run == nil })
			if (b.last.word == wordDrawn) != drawn {
				t.Errorf("the person said %v, and the status is %+v %+v", drawn, b.last, b.last.trouble)
			}
			if s := b.job.begun(); s.Done != drawn {
				t.Errorf("the person said %v, and the journal %+v", drawn, s)
			}
			b.work.Wait()
		})
	}
}
