package report

import (
	"fmt"
	"slices"

	"weftplot/plot"
	"weftplot/plot/job"
	"weftplot/profiles"
)

// steps are what the person does before and after the drawing (common practice).
func steps(j plot.Job) []string {
	var s []string
	switch {
	case !j.Settings.HasMachine():
		s = paperSteps(j.Settings)
	case j.Settings.Transfer == job.Direct:
		s = append(s, "Stretch the backing square and drum tight over a stiff, flat support, and clamp the frame.",
			"Test the pen on a scrap of the same backing with water and steam.",
			"Rehearse pen up before the first run on a piece of cloth, and run once round the edge.")
	case j.Settings.Transfer == job.Tracing:
		s = append(s, "Tape the paper down flat. Afterwards lay the backing over it on a light table or against a window, threads in line with the border, and trace.")
	case j.Settings.Transfer == job.IronOn:
		s = append(s, "Tape the paper down flat. Afterwards pin it to the backing, drawn side to the cloth, so that it stays in register, and iron about 25 seconds a place without sliding until the lines are seen to have taken.",
			"Heat-transfer lines fade with handling: go over them with a permanent marker.")
	}
	if j.Kit != nil {
		s = append(s, kitSteps(j)...)
	} else if len(j.Loads) > 1 {
		s = append(s, panelSteps(j)...)
	} else if len(j.PenRuns) > 1 {
		s = append(s, "Do not move the cloth between the pens: every program counts from the same corner.")
	}
	if step := wipeStep(j); step != "" {
		s = append(s, step)
	}
	for _, r := range j.PenRuns {
		if r.Pen.Blade {
			s = append(s, bladeStep(r.Pen))
		}
	}
	last := "Look for missed lines before the cloth leaves the frame."
	switch {
	case j.Settings.Transfer == job.Tracing:
		last = "Look for missed lines before the cloth comes off the paper."
	case j.Settings.Transfer == job.IronOn:
		last = "Look under the paper for missed lines before it comes off the cloth."
	}
	return append(s, last)
}

// paperSteps are what a person does with a pattern that no machine draws (common
// practice).
func paperSteps(s job.Settings) []string {
	var out []string
	if s.Print != "" {
		out = append(out, "Print paper.pdf at 100 %, with fitting to the page switched off, and measure the squares of 4 in and 10 cm before anything is cut.")
	}
	switch s.Transfer {
	case job.Tracing:
		return append(out, "Fix the paper on the light table or window, lay the backing over it, threads in line with the border, and fix the cloth all round: it creeps while you draw.",
			"On upright glass only mark where straight lines begin and end, and draw them along the channels on a table.",
			"At the end switch the lamp off: the cloth alone shows what is still missing.")
	case job.IronOn:
		return append(out, "Draw what lies in channels, the border first, on the cloth itself; go over the rest on thin paper with a heat-transfer pen, in an order that keeps the hand off wet ink.",
			"Pin the paper to the cloth along one edge, inked side down, so that it can be lifted, looked under and laid back in register; iron about 25 seconds a place without sliding.",
			"What did not take is pressed again or drawn. Heat-transfer lines fade with handling: go over them with a permanent marker.")
	}
	return append(out, "Draw the border first, on its channels, then the artwork, with a pen tested on a scrap with water and steam.")
}

// bladeStep is what to do before a blade cuts.
func bladeStep(p profiles.Pen) string {
	step := fmt.Sprintf("Before the first cut of %s turn the blade by hand so that it points along x, to the right; try depth and force on a scrap.", p.Name)
	if p.RunIn > 0 {
		step = fmt.Sprintf("The first cut of %s, beside the drawing, turns its blade: leave waste there, and try depth and force on a scrap.", p.Name)
	}
	if p.Passes > 1 {
		step += fmt.Sprintf(" Every line is cut %d times.", p.Passes)
	}
	return step
}

// wipeStep tells the person at the frame how the pens of the job are wiped, ""
// where none is.
func wipeStep(j plot.Job) string {
	n, pens := 0, ""
	for _, r := range j.PenRuns {
		if k := r.Wipes(); k > 0 {
			if pens != "" {
				pens += ", "
			}
			pens += fmt.Sprintf("%s %d times, after %.1f m at most", r.Pen.Name, k, float64(r.Pen.WipeEvery)/1000)
			n += k
		}
	}
	if n == 0 {
		return ""
	}
	if at, ok := j.Inputs.Machine.Wipe(); ok {
		return fmt.Sprintf("The tip is wiped between strokes at %.0f mm, %.0f mm on the machine (%s): set a brush or a pad there that the lifted tip touches.", at.X, at.Y, pens)
	}
	return fmt.Sprintf("The program stops between strokes, parked, for the tip to be wiped (%s). The time does not count these stops.", pens)
}

// MotionCautions are what must be said to a person before any machine moves.
func MotionCautions() []string {
	return []string{
		"The machine moves by itself: keep hands, hair, sleeves and loose yarn clear, and the stop within reach.",
		"Never leave it running alone. A stop in software is no emergency stop: know where the power goes off.",
		"Switch the power off before changing a pen or freeing cloth. Expect it to move when it starts or the port opens.",
	}
}

// Cautions are what must be said to a person beside this job: of the machine, of
// the pens, and of what the craft and the transfer ask for (common practice).
func Cautions(j plot.Job) []string {
	var c []string
	if j.Settings.HasMachine() {
		c = MotionCautions()
	}
	if j.Settings.HasMachine() && j.Settings.Transfer == job.Direct {
		c = append(c, "Gripper frames have sharp points: wear gloves when stretching.")
	}
	switch j.Settings.Craft {
	case job.PunchNeedle:
		c = append(c, "A punch needle is sharp: keep the other hand away from under the backing where it comes through.")
	case job.Hooking:
		c = append(c, "A hook and its scissors are sharp: mind the hand under the backing.")
	}
	for _, r := range j.PenRuns {
		c = append(c, r.Pen.Cautions...)
		if r.Pen.Blade {
			c = append(c, "Keep fingers clear of the blade and of its way, also when it is lifted; never catch a sheet that slips.")
		}
		if r.Pen.Transfers {
			c = append(c, "Air the room: heat-transfer ink gives off vapour as marker inks do, most of it under the iron. No flame near wet ink.")
		}
	}
	if j.Settings.Transfer == job.IronOn {
		c = append(c, ironCautions()...)
	}
	if j.Settings.Transfer == job.Tracing {
		c = append(c, "A glass door or table may break under the pressure of a hand, and a lamp under it grows hot: press lightly, and switch it off when you leave it.")
	}
	return once(c)
}

// ironCautions are what must be said to a person who irons a pattern on (common
// practice).
func ironCautions() []string {
	return []string{
		"Firm heat-proof surface under foil, hot iron proved on a scrap first, about 25 seconds a place, no sliding.",
		"Irons burn and scorch, foil and hot cloth burn too, and synthetic backings melt: rest the iron on its stand, unplug it after, keep children's hands away.",
		"Air the room: hot transfer ink gives off vapour. The makers' manuals of iron, ink and cloth come first.",
	}
}

// once returns the texts without those that stand before.
func once(texts []string) []string {
	var out []string
	for _, t := range texts {
		if !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return out
}
