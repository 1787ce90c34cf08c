package proof

import (
	"fmt"
	"strconv"

	"weftplot/paths"
)

// maxNumbers is about how many strokes are numbered in a picture.
const maxNumbers = 40

// numberStep returns the step of the numbers that are shown, 0 where strokes
// have none.
func (l *layout) numberStep() int {
	n := 0
	for _, k := range l.scene.Ink {
		if k.Number > 0 {
			n++
		}
	}
	if n == 0 {
		return 0
	}
	step := 1
	for i := 0; n > step*maxNumbers; i++ {
		step = step / []int{1, 2, 5}[i%3] * []int{2, 5, 10}[i%3]
	}
	return step
}

// strokeNumbers puts the number of a stroke beside its start, where there are
// no lines, so that the order of drawing can be followed.
func (l *layout) strokeNumbers(g *group) {
	step := l.numberStep()
	if step == 0 {
		return
	}
	size := numberSize * l.em
	for _, k := range l.scene.Ink {
		if k.Number == 0 || k.Number%step != 0 || len(k.Stroke) == 0 {
			continue
		}
		var cands []words
		for _, c := range ring(l.toPage.Apply(k.Stroke.Start()), 0.85*l.em)[1:17] {
			cands = append(cands, words{
				at: c.Add(paths.Point{Y: 0.36 * size}), anchor: anchorMiddle, halo: true,
				text: strconv.Itoa(k.Number), size: size, colour: numberColour,
			})
		}
		if l.putWhere(g, cands, l.isClear) {
			l.numbered = true
		}
	}
}

func (l *layout) numberSample(m paths.Point, _ float64) []node {
	size := numberSize * l.em
	return []node{words{at: m.Add(paths.Point{Y: 0.36 * size}), anchor: anchorMiddle, text: strconv.Itoa(l.numberStep()), size: size, colour: numberColour}}
}

func (l *layout) numberWords() string {
	if step := l.numberStep(); step > 1 {
		return fmt.Sprintf("number of a stroke, in the order of drawing, at its start: every %s", ordinal(step))
	}
	return "number of a stroke, in the order of drawing, at its start"
}
