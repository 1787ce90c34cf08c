package panels

import (
	"math"

	"weftplot/paths"
)

// SlackBow is how far cloth may bow anew in each load, as a share of its threads' length
// (common practice).
const SlackBow = 0.02

// How else cloth may lie anew: how far it may be shifted, in mm, turned, in degrees, and lean
// and change its count, as shares of its size (common practice).
const (
	slackShift = 30. + 10. // the second is for how far a map may go astray far from its marks
	slackTurn  = 3.
	slackLean  = 0.02
	slackCount = 0.01
)

// WindowOf returns how much of a rug can be drawn in one load, in mm, however the cloth
// comes to lie within the slack: sides below zero where nothing can. A rug that is narrower
// than the window leaves more room the other way.
func WindowOf(reach, rug paths.Rect) (width, height float64) {
	w, h := reach.Width()-2*slackShift, reach.Height()-2*slackShift
	stretch, skew := 1+slackCount, math.Sin(slackTurn*math.Pi/180)+slackLean+SlackBow
	// stretch·width + skew·height = w, and skew·width + stretch·height = h
	det := stretch*stretch - skew*skew
	width, height = (stretch*w-skew*h)/det, (stretch*h-skew*w)/det
	switch {
	case rug.Width() < width:
		return width, (h - skew*rug.Width()) / stretch
	case rug.Height() < height:
		return (w - skew*rug.Height()) / stretch, height
	}
	return width, height
}
