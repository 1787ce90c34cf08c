package bench

import (
	"cmp"
	"fmt"
	"strings"

	"weftplot/cmd/weftplot/bench/told"
	"weftplot/plot/job"
)

// values are the settings as the fields of the page hold them.
func (j *task) values() map[string]string {
	m, s := j.sketch, j.settings
	v := map[string]string{
		"craft": string(s.Craft), "transfer": string(s.Transfer),
		"backing": m.Inputs.Backing.Name, "machine": m.Inputs.Machine.Name, "pen": m.Inputs.Pens[s.Pen].Name,
		"border": s.Border, "clearance": fmt.Sprint(s.ClearRows()), "count": m.Count.String(), "margin": s.Margin,
		"marks": s.Marks, "lay": s.Lay, "snap": fmt.Sprint(s.Snap),
	}
	v["stripes"], v["gauge"], v["ticks"] = s.StripesIn(""), s.Gauge, fmt.Sprint(s.Ticks)
	v["hem"], v["fold"], v["cut"], v["first"] = s.Hem, s.Fold, s.Cut, strings.Join(s.First, ", ")
	v["diagonals"], v["channel"] = cmp.Or(s.Diagonals, job.DiagonalsOn), strings.Join(s.Channel, "\n")
	v["repeat"], v["repeat-height"], v["repeat-gap"] = s.Repeat, s.RepeatHeight, s.RepeatGap
	v["repeat-give"], v["repeat-corner"] = s.RepeatWay(), cmp.Or(s.RepeatCorner, job.CornerEmpty)
	v["panels"], v["lap"] = fmt.Sprint(s.Panels), ""
	if s.Panels {
		v["lap"] = told.SayLength(s.LapMM())
	}
	v["copies"], v["names"], v["cloth"], v["gap"], v["turn"] = "", string(j.bytes[s.Names]), s.Cloth, s.Gap, fmt.Sprint(s.Turn)
	if s.Copies > 0 && s.Names == "" {
		v["copies"] = fmt.Sprint(s.Copies)
	}
	if s.Lay == "" {
		v["lay"] = job.Upright
	}
	if s.NoSnap {
		v["snap"] = "off"
	}
	j.wordsValues(v)
	j.printingValues(v)
	for key, mm := range map[string]float64{"width": m.Rug.Width(), "height": m.Rug.Height()} {
		if v[key] = j.typed[key]; v[key] == "" {
			v[key] = told.SayLength(mm)
		}
	}
	return v
}
