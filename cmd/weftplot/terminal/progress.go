package terminal

import (
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// Progress is a bar on the standard error, on a terminal only. Its methods may
// be called by any goroutine.
type Progress struct {
	s  Streams
	on bool

	mu   sync.Mutex
	step string
	bar  *progressbar.ProgressBar
}

// NewProgress returns a progress bar that shows itself on a terminal, unless it is to
// be quiet.
func NewProgress(s Streams, quiet bool) *Progress {
	return &Progress{s: s, on: !quiet && OnTerminal(s.Err)}
}

// barWidth is how wide the bar is where there is room, and barLeast what is
// kept free for it and its percentage beside the words.
const (
	barWidth = 30
	barLeast = 18
)

// Step shows that done of total parts of a step are done.
func (p *Progress) Step(step string, done, total int) { p.Show(step, step, done, total) }

// Show is Step with words that change while the step goes on.
func (p *Progress) Show(step, words string, done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.on || total <= 0 {
		return
	}
	if p.bar == nil || p.step != step {
		p.clear()
		p.step = step
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.s.Err),
			progressbar.OptionSetWidth(barWidth),
			progressbar.OptionClearOnFinish(),
			progressbar.OptionThrottle(50*time.Millisecond),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionSetElapsedTime(false),
			progressbar.OptionEnableColorCodes(false),
			progressbar.OptionSetTheme(progressbar.Theme{Saucer: "=", SaucerPadding: " ", BarStart: "|", BarEnd: "|"}),
		)
	}
	p.bar.ChangeMax(total)
	p.bar.Describe(cutTo(words, p.columns()-barLeast))
	_ = p.bar.Set(max(0, min(done, total-1))) // a bar that cannot be drawn is no reason to stop
}

// columns is how wide the terminal is.
func (p *Progress) columns() int {
	if f, ok := p.s.Err.(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			return w
		}
	}
	return 80
}

// cutTo cuts words to so many characters.
func cutTo(words string, most int) string {
	if r := []rune(words); len(r) > max(most, 1) {
		return string(r[:max(most, 1)-1]) + "…"
	}
	return words
}

// Say writes a line above the bar, also where there is no bar.
func (p *Progress) Say(format string, args ...any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.clear()
	fmt.Fprintf(p.s.Err, format+"\n", args...)
}

// Done takes the bar away. It may be called twice.
func (p *Progress) Done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.clear()
}

func (p *Progress) clear() {
	if p.bar != nil {
		_ = p.bar.Finish()
		p.bar = nil
	}
}
