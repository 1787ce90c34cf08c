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
//
// A step that tells nothing for a while is shown all the same, with how long it has
// taken, so that nobody wonders whether the program still runs.
type Progress struct {
	s  Streams
	on bool

	mu      sync.Mutex
	step    string // "" for none
	alone   bool   // its words change: another tells how long it takes
	bar     *progressbar.ProgressBar
	percent int           // that it was told last
	words   string        // beside the bar
	began   time.Time     // when the step did
	shown   time.Time     // when it was shown last
	stop    chan struct{} // ends the clock; nil where none runs
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

// A step that tells nothing for longer than patience is shown anew, as is looked at by
// every beat.
const (
	patience = 600 * time.Millisecond
	beat     = 200 * time.Millisecond
)

// Begin says that a step begins, of which it is not known how much is done.
func (p *Progress) Begin(step string) { p.Step(step, 0, 0) }

// Step shows that done of total parts of a step are done; with a total of 0 it begins.
func (p *Progress) Step(step string, done, total int) { p.show(step, step, done, total, false) }

// Show is Step with words that change while the step goes on.
func (p *Progress) Show(step, words string, done, total int) { p.show(step, words, done, total, true) }

func (p *Progress) show(step, words string, done, total int, alone bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.step != step {
		p.clear()
		p.step, p.alone, p.began, p.percent = step, alone, time.Now(), -1
		p.shown = p.began
		if p.s.Steps != nil {
			p.s.Steps(step)
		}
		p.run()
	}
	if total <= 0 || !p.on {
		return
	}
	if percent := 100 * done / total; alone || p.bar == nil || percent != p.percent {
		p.shown, p.percent = time.Now(), percent
		p.draw(words, done, total)
	} // else a person sees nothing new, and the step is as good as silent
}

// draw shows the bar. A bar that cannot be drawn is no reason to stop.
func (p *Progress) draw(words string, done, total int) {
	words = cutTo(words, p.columns()-barLeast)
	if p.bar == nil {
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.s.Err),
			progressbar.OptionSetDescription(words),
			progressbar.OptionSetWidth(barWidth),
			progressbar.OptionClearOnFinish(),
			progressbar.OptionThrottle(50*time.Millisecond),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionSetElapsedTime(false),
			progressbar.OptionEnableColorCodes(false),
			progressbar.OptionSetTheme(progressbar.Theme{Saucer: "=", SaucerPadding: " ", BarStart: "|", BarEnd: "|"}),
		)
		p.words = words
		if done <= 0 {
			_ = p.bar.RenderBlank()
		}
	}
	p.bar.ChangeMax(total)
	if p.words != words { // the library draws for it, and then nothing for a while
		p.bar.Describe(words)
	}
	p.words = words
	_ = p.bar.Set(max(0, min(done, total-1)))
}

// run starts the clock that looks whether a step is silent.
func (p *Progress) run() {
	if !p.on || p.stop != nil {
		return
	}
	stop := make(chan struct{})
	p.stop = stop
	go func() {
		clock := time.NewTicker(beat)
		defer clock.Stop()
		for {
			select {
			case now := <-clock.C:
				p.tick(now)
			case <-stop:
				return
			}
		}
	}()
}

// tick shows a step that was silent for too long, with how long it has taken.
func (p *Progress) tick(now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.on || p.step == "" || p.alone || now.Sub(p.shown) < patience {
		return
	}
	p.shown = now
	done, total := 0, 1
	if p.bar != nil {
		done, total = int(p.bar.State().CurrentNum), p.bar.GetMax()
	}
	p.draw(fmt.Sprintf("%s, %s", p.step, took(now.Sub(p.began))), done, total)
}

// took says how long something took so far.
func took(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	if s < 60 {
		return fmt.Sprintf("%d s", s)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
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

// Done takes the bar away and ends the step. It may be called twice, and another step may
// begin after it.
func (p *Progress) Done() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.clear()
	p.step = ""
	if p.stop != nil {
		close(p.stop)
		p.stop = nil
	}
}

func (p *Progress) clear() {
	if p.bar != nil {
		_ = p.bar.Finish()
		p.bar = nil
	}
}
