// Package window chooses threads to be counted so that a load is right all over what it
// draws, not only where it meets what is drawn already: far from its marks a map of the
// cloth goes astray, and lines leave their channels.
package window

import (
	"math"

	"weftplot/paths"
	"weftplot/paths/weave"
	"weftplot/paths/weave/cloth"
)

// Load is what there is to be sure of.
type Load struct {
	Grid  weave.Grid
	Box   paths.Rect    // that the load draws in, in mm
	Meets []weave.Place // where it meets other loads, before it and after it
	// Taken are the points that are found in any case.
	Taken []weave.Place
}

// The noise of a person who steers with care, mm each way (common practice), and the error
// that is small enough all over a load, in channels: a line that is a third of a channel
// off is well in its channel.
const (
	noise  = 0.2
	enough = 0.3
)

// steps is how finely a load is looked at, and threads are offered, each way.
const steps = 6

// Fill returns crossings of threads to be found with the points that are taken, each the one
// that lowers the error over the load most ([cloth.Plan]), until it is small enough or there
// are so many points in all, the last in each case one that checks the others.
func (l Load) Fill(most int) []weave.Place {
	at := append(append([]weave.Place(nil), l.Taken...), l.crossings()...)
	plan, err := cloth.NewPlan(l.Grid, cloth.Prior{Noise: noise}, l.places(), at)
	if err != nil {
		return nil // a load of no size
	}
	var taken []int
	for i := range l.Taken {
		taken = append(taken, i)
	}
	var out []weave.Place
	for sure := false; !sure && len(taken) < most; {
		i, then, ok := plan.Next(taken)
		if !ok {
			break
		}
		taken, sure = append(taken, i), then.Greatest <= enough
		out = append(out, at[i])
	}
	return out
}

// lattice calls f with places evenly over the load.
func (l Load) lattice(f func(weave.Place)) {
	lo, hi := l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max)
	for k := range steps + 1 {
		for i := range steps + 1 {
			u, v := float64(i)/steps, float64(k)/steps
			f(weave.Place{Across: lo.Across + u*(hi.Across-lo.Across), Along: lo.Along + v*(hi.Along-lo.Along)})
		}
	}
}

// crossings are the threads that are offered: those nearest to the lattice, but within the
// load and none that is taken.
func (l Load) crossings() []weave.Place {
	lo, hi := l.Grid.PlaceOf(l.Box.Min), l.Grid.PlaceOf(l.Box.Max)
	within := func(v, lo, hi float64) float64 {
		return min(math.Floor(hi+1e-6), max(math.Ceil(lo-1e-6), math.Round(v)))
	}
	var out []weave.Place
	l.lattice(func(p weave.Place) {
		q := weave.Place{Across: within(p.Across, lo.Across, hi.Across), Along: within(p.Along, lo.Along, hi.Along)}
		for _, t := range append(out, l.Taken...) {
			if math.Hypot(t.Across-q.Across, t.Along-q.Along) < 1 {
				return
			}
		}
		out = append(out, q)
	})
	return out
}

// places are where the load must be right.
func (l Load) places() []weave.Place {
	const most = 40
	n := min(len(l.Meets), most)
	var out []weave.Place
	for i := range n {
		out = append(out, l.Meets[i*len(l.Meets)/n])
	}
	l.lattice(func(p weave.Place) { out = append(out, p) })
	return out
}
