package report

import (
	"cmp"
	"fmt"
	"strings"

	"weftplot/paths/label"
	"weftplot/paths/weave"
	"weftplot/plot"
	"weftplot/plot/figures"
	"weftplot/plot/job"
	"weftplot/plot/proof"
)

// Joint is a place where the parts of a stroke meet that two loads draw.
type Joint struct {
	AtChannels [2]float64 `json:"at_channels"` // from the lower left corner of the rug, as drawn
	Direction  [2]float64 `json:"direction"`   // of the line there, of length 1 in mm
	Loads      [2]int     `json:"loads"`       // the earlier one first
}

// addPanels adds what is said of a rug that is drawn in parts.
func (r *Report) addPanels(j plot.Job) {
	if j.Panels == nil {
		return
	}
	for _, at := range j.Panels.Joints {
		p := j.Grid.PlaceOf(at.At)
		r.Joints = append(r.Joints, Joint{[2]float64{figures.Round(p.Across), figures.Round(p.Along)}, [2]float64{figures.Round(at.Along.X), figures.Round(at.Along.Y)}, at.Loads})
	}
	k := 0
	for _, l := range j.Loads {
		load := Load{
			N: l.N, Files: []string{}, NeedsMarks: l.NeedsMarks, AtMM: [2]float64{figures.Round(l.At.X), figures.Round(l.At.Y)},
			Registration: NewRegistration(l.Registration.Report()), Points: []Point{}, WindowMM: figures.Bounds(l.Window), BoxMM: figures.Bounds(l.Box), Strokes: len(l.Drawn), DrawMM: figures.Round(lengthOf(l.Drawn)), EnoughPoints: l.Enough,
		}
		if x := figures.Round(cmp.Or(l.Expected, l.Foreseen)); x > 0 {
			load.ExpectedError = &x
		}
		for _, f := range l.Points {
			load.Points = append(load.Points, Point{label.Clean(f.Name, label.Line), figures.Round(f.Place.Across), figures.Round(f.Place.Along), figures.Round(f.Loose)})
		}
		for _, run := range l.PenRuns {
			load.Files = append(load.Files, run.File)
			r.Pens[k].Load = l.N
			k++
		}
		r.Loads = append(r.Loads, load)
	}
}

// lengthOf returns the length of strokes, in mm.
func lengthOf(strokes []plot.Stroke) (mm float64) {
	for _, k := range strokes {
		mm += k.Length()
	}
	return mm
}

// state says in a few words how far a load is: what is before the last load that can be
// drawn must be on the cloth, since that one was found by it.
func state(j plot.Job, i int) string {
	last := lastReady(j)
	switch {
	case i < last:
		return "drawn before"
	case i == last:
		return "to draw now"
	case i == last+1:
		return "next: its points are to be found"
	}
	return "later"
}

// sheetPanels tells the loads: where to lay the cloth, and what to find.
func sheetPanels(j plot.Job, r Report, p func(string, ...any)) {
	if j.Panels == nil || len(j.Loads) < 2 {
		return
	}
	p("")
	p("LOADS")
	p("  the rug is drawn in %d parts; between them the cloth is moved, threads square to the machine, and found again. Places on the cloth are counted in channels from the lower left corner of the whole rug, as drawn.", len(j.Loads))
	for i, l := range j.Loads {
		p("")
		text := fmt.Sprintf("%s (%s); lay the cloth so that %s", strings.Join(r.Loads[i].Files, ", "), state(j, i), LayWords(j, l))
		if l.NeedsMarks {
			text = fmt.Sprintf("%s; lay the cloth so that %s", state(j, i), LayWords(j, l))
		}
		p("%s", strings.TrimRight(wrap(fmt.Sprintf("  %d. ", l.N), text, label.Columns), "\n"))
		if len(l.Points) == 0 {
			continue
		}
		p("     points to find, in this order (pictures in load-%d/points.svg):", l.N)
		for k, f := range r.Loads[i].Points {
			text := f.Name
			if !l.Points[k].Thread { // its name says where it is
				text += fmt.Sprintf(": %s across, %s along", figures.Channels(f.Across), figures.Channels(f.Along))
			}
			p("%s", strings.TrimRight(wrap(fmt.Sprintf("     %2d. ", k+1), text, label.Columns), "\n"))
		}
		if l.N == 1 {
			p("%s", strings.TrimRight(wrap("     ", "These are to be found only where the cloth does not lie square and as counted: the first load may be drawn without.", 78), "\n"))
		} else if l.Enough > 0 && l.Enough < len(l.Points) {
			p("     the joints are likely to be sure after %d of them, the whole load after all", l.Enough)
		}
		if x := r.Loads[i].ExpectedError; x != nil && l.N > 1 {
			p("     error to expect at the joints: %.2f channels", *x)
		}
	}
}

// LayWords says where a place of the cloth that the machine reaches comes to lie: the
// crossing of channels nearest to the lower left corner of the load's window.
func LayWords(j plot.Job, l plot.Load) string {
	at := j.Grid.PlaceOf(l.Window.Min)
	at = weave.Place{Across: roundTo(max(0, at.Across)), Along: roundTo(max(0, at.Along))}
	m := l.Registration.Point(at)
	what := fmt.Sprintf("channel %.0f across, %.0f along", at.Across, at.Along)
	if at == (weave.Place{}) {
		what = "the lower left corner of the rug"
	}
	return fmt.Sprintf("%s lies at %.1f mm, %.1f mm on the machine", what, m.X, m.Y)
}

// panelSteps are what a person does with a rug that is drawn in parts.
func panelSteps(j plot.Job) []string {
	return []string{
		"Do not move the cloth before all pens of a load are done. Nothing is marked inside the rug: each load is found by ink that is there, and by threads.",
		"Between loads move the cloth to its next place, threads square to the machine, and let it relax before it is stretched and clamped again; 30 mm and 3 degrees off are no harm.",
		fmt.Sprintf("Then find the points of the load with the machine, in their order, until the error to expect is small enough, and prepare the load with its marks. Joints show where parts are more than %.1f channels apart.", plot.MostJointError),
		"Rehearse each load, and see that the pen passes over what is drawn where lines go on.",
	}
}

// panelCaptions is a scene with the words of a rug in parts.
func panelCaptions(j plot.Job) proof.Scene {
	lines := captions(j)
	if n := lastReady(j); n+1 < len(j.Loads) {
		lines[len(lines)-1] = fmt.Sprintf("programs so far, load %d of %d: %s", n+1, len(j.Loads), lines[len(lines)-1])
	}
	return proof.Scene{
		Title: label.Clean(j.Settings.Name, label.Picture), Side: job.DrawnSide(j.Settings.Craft, j.Settings.Transfer).Words,
		Captions: append(lines, fmt.Sprintf("in %d loads, %d joints of lines between them", len(j.Loads), len(j.Panels.Joints))),
	}
}

// panelsScene shows the whole cloth with its loads, in the frame "drawn".
func panelsScene(j plot.Job, r Report) proof.Scene {
	s := panelCaptions(j)
	s.Rug, s.Backing, s.NoDirection = proof.Outline(j.Rug), proof.Outline(j.Rug.Grow(j.Margin)), true
	s.Weave = channelsOf(j.Grid, j.Rug)
	for i, l := range j.Loads {
		s.Loads = append(s.Loads, proof.Region{Outline: proof.Outline(l.Window), Label: fmt.Sprintf("load %d: %s", l.N, state(j, i))})
		for _, k := range l.Drawn {
			s.Ink = append(s.Ink, inkOfLoad(j, i, k))
		}
	}
	for _, k := range j.ByHand {
		s.Ink = append(s.Ink, handInk(k.Stroke))
	}
	s.Places = append(s.Places, jointPlaces(j.Panels.Joints)...)
	s.Notes = notes(r.Warnings)
	return s
}

// inkOfLoad is a stroke of a load, in colours that tell what is on the cloth, what is drawn
// now, and what comes later.
func inkOfLoad(j plot.Job, i int, k plot.Stroke) proof.Ink {
	switch now := lastReady(j); {
	case i < now:
		return thereAlready(k.Stroke)
	case i > now:
		return proof.Ink{Stroke: k.Stroke, Colour: "#e69f00", Width: 0.5, Pen: "drawn in a later load"}
	}
	pen, err := j.PenFor(k.Layer)
	if err != nil {
		return proof.Ink{Stroke: k.Stroke}
	}
	return Inked(k.Stroke, pen, k.Layer)
}

// lastReady is the last load that can be drawn, by its number from 0.
func lastReady(j plot.Job) int {
	last := 0
	for k, l := range j.Loads {
		if !l.NeedsMarks {
			last = k
		}
	}
	return last
}

// jointPlaces are the joints as places in a picture.
func jointPlaces(joints []plot.Joint) []proof.Places {
	if len(joints) == 0 {
		return nil
	}
	places := proof.Places{Label: "joints: where a line goes on in another load"}
	for _, at := range joints {
		places.At = append(places.At, at.At)
	}
	return []proof.Places{places}
}

func roundTo(v float64) float64 { return float64(int(v + 0.5)) }
