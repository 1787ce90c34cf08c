package plot

import (
	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave/cloth"
	"weftplot/plot/parts"
)

// part returns what a load draws, as a drawing of its own that counts from the same corner.
func (p *panelMaker) part(l *Load) Joined {
	j := p.joined
	j.Drawn, j.ByHand = l.Drawn, nil
	j.part = &loadPart{number: l.N, of: len(p.loads), rug: j.Rug, layers: layersOf(p.joined.Drawn), box: l.Window}
	return j
}

// divide parts the drawing into loads, and says what is to be found for each.
func (p *panelMaker) divide() error {
	j := p.joined
	all := boundsOf(j.Drawn)
	w, h := windowOf(j.Inputs.Machine.Reach(), all)
	lap := j.Settings.LapMM()
	if least := leastWindow + 2*lap; w < least || h < least {
		return fault.TooBig("machine "+j.Inputs.Machine.Name, "choose a larger machine", "the pen reaches %s, and with the room that cloth needs which is moved and laid anew %.0f x %.0f mm are left: too little to draw a rug in parts", bothWays(j.Inputs.Machine.Reach()), max(0, w), max(0, h))
	}
	lines := make([]parts.Line, len(j.Drawn))
	for i, s := range j.Drawn {
		lines[i] = parts.Line{Stroke: s.Stroke, Word: j.wordOf(i)}
	}
	d, i, ok := parts.Divide(lines, parts.Options{Width: w, Height: h, Lap: lap})
	if !ok {
		return fault.TooBig("machine "+j.Inputs.Machine.Name, "make the letters smaller, or choose a larger machine", "a letter of layer %q is %s, and no lettering is cut: one load takes %.0f x %.0f mm", j.Drawn[i].Layer, bothWays(j.Drawn[i].Bounds()), w, h)
	}
	if len(d.Windows) > mostLoads {
		return fault.TooBig("machine "+j.Inputs.Machine.Name, "choose a larger machine or a smaller size", "the rug would take %d loads, and %d are the most", len(d.Windows), mostLoads)
	}
	p.loads = make([]Load, len(d.Windows))
	for n := range p.loads {
		l := &p.loads[n]
		l.N, l.Window = n+1, d.Windows[n]
		for _, piece := range d.Pieces[n] {
			l.Drawn = append(l.Drawn, Stroke{piece.Stroke, j.Drawn[piece.Line].Layer})
		}
	}
	for _, at := range d.Joints {
		joint := Joint{At: at.At, Along: at.Along, Loads: [2]int{at.Loads[0] + 1, at.Loads[1] + 1}}
		p.Joints = append(p.Joints, joint)
		to := j.Grid.PlaceOf(at.Along)
		l := &p.loads[at.Loads[1]]
		l.Meets = append(l.Meets, cloth.Passage{Place: j.Grid.PlaceOf(at.At), Along: to})
	}
	p.find()
	return nil
}

// What a load must reach at least, in mm, and how many a rug may take.
const (
	leastWindow = 60.
	mostLoads   = 200
)

// find says what is to be found for each load.
func (p *panelMaker) find() {
	j := p.joined
	var ink []paths.Stroke
	var names []string
	for n := range p.loads {
		l := &p.loads[n]
		var meets []paths.Point
		for _, m := range l.Meets {
			meets = append(meets, j.Grid.At(m.Place))
		}
		var joints []paths.Point
		for _, at := range p.Joints {
			if at.Loads[0] == l.N || at.Loads[1] == l.N {
				joints = append(joints, at.At)
			}
		}
		found := parts.Find(parts.Finding{Grid: j.Grid, Window: l.Window, Ink: ink, Names: names, Meets: meets, Joints: joints})
		for _, f := range found.Points {
			l.Points = append(l.Points, Find{f.Name, f.Place, f.Thread})
		}
		if k := len(found.After); k > 0 {
			l.Foreseen = found.After[k-1].Greatest
		}
		for _, s := range l.Drawn {
			ink, names = append(ink, s.Stroke), append(names, s.Layer)
		}
	}
}

// wordOf returns the number of the words that a stroke is of, from 1, and 0 for none.
func (j Joined) wordOf(stroke int) int {
	if stroke < len(j.words) {
		return j.words[stroke]
	}
	return 0
}
