package bench

import (
	"fmt"
	"strings"

	"weftplot/cmd/weftplot/bench/sheets"
	"weftplot/cmd/weftplot/bench/told"
	"weftplot/cmd/weftplot/link"
	"weftplot/cmd/weftplot/sending"
	"weftplot/device"
	"weftplot/plot/figures"
)

// The words that the status begins with.
const (
	wordReady     = "Ready"
	wordEdge      = "Going round the edge"
	wordRehearsal = "Rehearsing"
	wordDrawing   = "Drawing"
	wordHeld      = "Held"
	wordStopped   = "Stopped"
	wordDrawn     = "Drawn"
	wordBroke     = "The line broke"
)

// news returns what is new to a page that has seen a version.
func (b *bench) news(lead bool, turn string, seen int) told.News {
	b.mu.Lock()
	defer b.mu.Unlock()
	n := told.News{Version: b.version, Lead: lead, Turn: turn, Status: b.status(), Trouble: b.last.trouble, Number: b.last.number}
	if s := b.steer; s != nil && s.pilot != nil {
		n.Steer = s.shown()
	}
	if n.Fresh = seen != b.version; n.Fresh && b.job != nil {
		n.Job = b.job.shown()
	}
	return n
}

// status says what the machine is at; b.mu is held.
func (b *bench) status() told.Status {
	r := b.run
	if r == nil {
		return b.resting()
	}
	p := r.progress
	s := told.Status{
		Moving: true, Do: r.do, Asked: r.asked, Sim: r.port == link.SimPort,
		Drawn: p.DrawnMM + r.drawnMM, Total: r.totalMM, Left: p.SecondsLeft + r.left,
		Stroke: p.Stroke + r.strokes, Strokes: r.total, Proved: r.proved, Layer: p.Layer,
	}
	s.Word = map[string]string{doEdge: wordEdge, doRehearse: wordRehearsal, doDraw: wordDrawing, doResume: wordDrawing}[r.do]
	switch {
	case r.asked != "":
		s.Word, s.Held, s.Text = wordHeld, true, r.asked+", then press Go on."
	case r.confirm:
		s.Word, s.Held, s.Confirm, s.Text = wordHeld, true, true, "All was sent and should be drawn by now; this machine does not say where its pen goes. Look at the cloth for missing strokes and stray lines."
	case p.State == device.Connecting:
		s.Word, s.Text = wordReady, "Asking the machine whether it listens."
	case p.State == device.Waiting, p.State == device.Stopping:
		s.Word, s.Held, s.Text = wordHeld, true, "The pen is up. Go on takes the job up where it was left."
		if p.State == device.Stopping {
			s.Text = "Coming to rest, the pen goes up."
		}
	case r.do == doEdge || r.do == doRehearse:
		s.Text, s.Says = "The pen is up.", "About "+figures.Minutes(s.Left)+" left."
	default:
		s.Text = "Stay at the frame."
		s.Says = fmt.Sprintf("Line %d of %d, %.2f of %.2f m, about %s left.", s.Stroke, s.Strokes, s.Drawn/1000, s.Total/1000, figures.Minutes(s.Left))
	}
	prog := r.programs[r.file]
	s.Load = prog.Load
	if len(prog.Copies) > 0 {
		if _, on := sending.WholeCopies(prog.Copies, max(0, p.Stroke-1)); on > 0 {
			s.Copy = on
			s.Says = strings.TrimSpace("Copy " + sending.CopyName(prog, on) + ". " + s.Says)
		}
	}
	if s.Sim {
		s.Text += " This is the simulated plotter."
	}
	return s
}

// resting says what stands while no machine is at work; b.mu is held.
func (b *bench) resting() told.Status {
	word, text := b.last.word, b.last.text
	if word == "" {
		word = wordReady
	}
	switch {
	case b.steer != nil:
		text = "The pen is steered by hand, lifted."
	case b.job == nil:
		text = "Choose a drawing."
	case b.job.overtaken:
		text = "The cloth is half drawn by a program that would be made otherwise now."
	case b.job.refused():
		text = "Something stands against this job; it is told on the steps marked with !."
	case b.job.byHand != nil:
		text = "A file of this job was changed by hand; nothing is written over it."
	case b.job.noPaper != nil:
		text = "The pattern does not go onto this paper; it is told on the step Onto the cloth."
	case text == "" && !b.job.whole && !b.job.settings.HasMachine():
		text = "The paper is being laid out."
	case text == "" && !b.job.whole:
		text = "The program is being written."
	}
	return told.Status{Word: word, Text: text}
}

func (s *steer) shown() *told.Steer {
	out := &told.Steer{Port: s.port, At: [2]float64{sheets.Hundredth(s.at.X), sheets.Hundredth(s.at.Y)}, Said: s.said, Marks: []sheets.Mark{}}
	if p, ok := s.found.PlaceAt(s.at); ok {
		out.Place = &[2]float64{sheets.Hundredth(p.Across), sheets.Hundredth(p.Along)}
	}
	if p, ok := s.found.Next(); ok {
		out.Next = &[2]float64{p.Across, p.Along}
	}
	for i, m := range s.found.Marks() {
		out.Marks = append(out.Marks, sheets.Mark{Number: i + 1, At: [2]float64{m.At.X, m.At.Y}, Place: [2]float64{m.Place.Across, m.Place.Along}})
	}
	if s.load != nil {
		out.Search = s.load.told()
	}
	return out
}
