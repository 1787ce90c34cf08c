package main

import (
	"github.com/schollz/progressbar/v3"
)

// progress is a bar on the standard error, on a terminal only. The zero value
// of bar shows nothing.
type progress struct {
	s    streams
	on   bool
	step string
	bar  *progressbar.ProgressBar
}

func newProgress(s streams, quiet bool) *progress {
	return &progress{s: s, on: !quiet && onTerminal(s.err)}
}

// Step shows that done of total parts of a step are behind it.
func (p *progress) Step(step string, done, total int) {
	if !p.on || total <= 0 {
		return
	}
	if p.bar == nil || p.step != step {
		p.Done()
		p.step = step
		p.bar = progressbar.NewOptions(total,
			progressbar.OptionSetWriter(p.s.err),
			progressbar.OptionSetDescription(step),
			progressbar.OptionSetWidth(30),
			progressbar.OptionClearOnFinish(),
			progressbar.OptionSetPredictTime(false),
			progressbar.OptionEnableColorCodes(false),
			progressbar.OptionSetTheme(progressbar.Theme{Saucer: "=", SaucerPadding: " ", BarStart: "|", BarEnd: "|"}),
		)
	}
	p.bar.ChangeMax(total)
	_ = p.bar.Set(min(done, total)) // a bar that cannot be drawn is no reason to stop
}

// Say changes the words before the bar.
func (p *progress) Say(words string) {
	if p.bar != nil {
		p.bar.Describe(words)
	}
}

// Done takes the bar away. It may be called twice.
func (p *progress) Done() {
	if p.bar != nil {
		_ = p.bar.Finish()
		p.bar = nil
	}
}
