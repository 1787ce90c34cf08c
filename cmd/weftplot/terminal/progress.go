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

	mu    sync.Mutex
	step  string // "" for none
	alone bool   // its words change: another tells how long it takes
	bar   *progressbar.ProgressBar
	last  picture       // what it was told last that a person sees
	owed  bool          // last is still to be drawn
	drawn time.Time     // when the bar was drawn last
	began time.Time     // when the step did
	shown time.Time     // when it was told something last that a person sees
	stop  chan struct{} // ends the clock; nil where none runs
}

// A picture is what the bar shows.
type picture struct {
	words       string
	done, total int
}

func (p picture) percent() int { return 100 * p.done / p.total }

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
// every beat. The bar is drawn every pause at most; what comes sooner is drawn by the next
// beat, so that the last that is told is always seen.
const (
	patience = 600 * time.Millisecond
	beat     = 200 * time.Millisecond
	pause    = 50 * time.Millisecond
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
		p.step, p.alone, p.began = step, alone, time.Now()
		p.shown = p.began
		if p.s.Steps != nil {
			p.s.Steps(step)
		}
		p.run()
	}
	if total <= 0 || !p.on {
		return
	}
	next := picture{words, done, total}
	if !alone && p.bar != nil && next.percent() == p.last.percent() {
		return // a person sees nothing new, and the step is as good as silent
	}
	now := time.Now()
	p.last, p.owed, p.shown = next, true, now
	if p.bar == nil || now.Sub(p.drawn) >= pause {
		p.draw(now)
	}
}

// draw shows what was told last. A bar that cannot be drawn is no reason to stop.
func (p *Progress) draw(now time.Time) {
	p.drawn, p.owed = now, false
	words, done := cutTo(p.last.words, p.columns()-barLeast), max(0, min(p.last.done, p.last.total-1))
	if p.bar == nil {
		p.bar = progressbar.NewOptions(p.last.total,
			progressbar.OptionSetWriter(p.s.Err),
			progressbar.OptionSetDescription(words),
			progressbar.OptionSetWidth(barWidth),
			progressbar.OptionClearOnFinish(),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionSetElapsedTime(false),
			progressbar.OptionEnableColorCodes(false),
			progressbar.OptionSetTheme(progressbar.Theme{Saucer: "=", SaucerPadding: " ", BarStart: "|", BarEnd: "|"}),
		)
	}
	p.bar.ChangeMax(p.last.total)
	_ = p.bar.Set(done)
	p.bar.Describe(words) // which draws, whatever came of the number
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

// tick draws what is owed, and shows a step that was silent for too long with how long it
// has taken.
func (p *Progress) tick(now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case !p.on || p.step == "":
	case p.owed:
		p.draw(now)
	case !p.alone && now.Sub(p.shown) >= patience:
		if p.bar == nil {
			p.last = picture{total: 1}
		}
		p.shown = now
		p.last.words = fmt.Sprintf("%s, %s", p.step, took(now.Sub(p.began)))
		p.draw(now)
	}
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
	p.owed = false
}
