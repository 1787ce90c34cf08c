package plot

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/letters"
	"weftplot/paths/weave"
	"weftplot/plot/job"
	"weftplot/plot/loads"
)

// Layers of what is drawn in the margins of copies.
const (
	NamesLayer = "names" // their numbers and names
	CutsLayer  = "cuts"  // short ticks where the cloth is cut
)

// name gives the copies their numbers and names. Of two equal names the later one has a
// number behind it.
func (k *kitMaker) name() error {
	names := k.laid.Inputs.Names
	if len(names) == 0 {
		names = make([]job.Named, k.laid.Settings.Copies)
	}
	alpha, err := k.laid.Settings.Letters()
	if err != nil {
		return err
	}
	taken := map[string]bool{}
	for _, n := range names {
		taken[strings.ToLower(n.Name)] = true
	}
	seen := map[string]int{}
	for i, n := range names {
		if err := alpha.Check(n.Name); n.Name != "" && err != nil {
			return fault.At(fmt.Sprintf("%s, line %d", k.laid.Settings.Names, n.Line), err)
		}
		name, low := n.Name, strings.ToLower(n.Name)
		if seen[low]++; n.Name != "" && seen[low] > 1 {
			for taken[strings.ToLower(name)] {
				name = fmt.Sprintf("%s %d", n.Name, seen[low])
				seen[low]++
			}
			seen[low]--
			taken[strings.ToLower(name)] = true
			k.Notes = append(k.Notes, Doubt{Code: "names-numbered", Message: fmt.Sprintf("there is another %s in the list: copy %d is named %q", n.Name, i+1, name)})
		}
		k.Copies = append(k.Copies, Copy{N: i + 1, Name: name})
		k.sizes = append(k.sizes, n.Channels)
	}
	return nil
}

// Title is what is written beside a copy: its number and its name.
func (c Copy) Title() string { return strings.TrimSpace(fmt.Sprintf("%d %s", c.N, c.Name)) }

// nameGap is how many rows are left between a rug and its name, and round it.
const nameGap = 2

// letter writes the number and the name of each copy into its margin, under the rug, as
// high as there is room for and at most nine rows. They read right on the side that is
// worked from, where the cloth is cut: the iron turns over what is drawn, nothing else
// does.
func (k *kitMaker) letter() error {
	alpha, err := k.laid.Settings.Letters()
	if err != nil {
		return err
	}
	var cache letters.Cache
	pose := letters.Pose{Mirrored: k.laid.Settings.Transfer == job.IronOn}
	var left []string
	for i := range k.Copies {
		c := &k.Copies[i]
		done, err := k.letterOne(c, alpha, &cache, pose)
		if err != nil {
			return err
		}
		if !done {
			left = append(left, fmt.Sprint(c.N))
		}
	}
	if len(left) > 0 {
		k.Notes = append(k.Notes, Doubt{Code: "names-left-out", Message: fmt.Sprintf("there is no room for names or numbers in the margins of copies %s: give a larger [gap], or shorter names", strings.Join(left, ", "))})
	}
	return nil
}

// letterOne writes the name of one copy, and returns false where it has no room.
func (k *kitMaker) letterOne(c *Copy, alpha letters.Alphabet, cache *letters.Cache, pose letters.Pose) (bool, error) {
	lo, right := k.grid.PlaceOf(c.Rug.Min), k.grid.PlaceOf(c.Piece.Max).Across-nameGap
	foot := k.grid.PlaceOf(c.Piece.Min).Along + nameGap
	for rows := 9; rows >= alpha.Least(); rows-- {
		text, err := cache.Set(c.Title(), letters.Options{Alphabet: alpha, Height: rows, Grid: k.grid})
		if err != nil {
			if errors.Is(err, fault.Fit) {
				continue
			}
			return false, err
		}
		pose.At = weave.Place{}
		a, b := pose.Box(text)
		pose.At = weave.Place{Across: c.At.Across - a.Across, Along: math.Floor(lo.Along+1e-6) - nameGap - b.Along}
		a, b = pose.Box(text)
		if a.Along < foot || b.Across > right {
			continue
		}
		for _, s := range pose.Strokes(text) {
			c.drawn = append(c.drawn, Stroke{s, NamesLayer})
		}
		return true, nil
	}
	return false, nil
}

// mark makes the ticks: at each corner of a piece short lines in the channels in which the
// scissors come by. What is the edge of the cloth already is not marked.
func (k *kitMaker) mark(l loads.Layout, tops map[int]int) {
	const reach = 3 // channels each way
	type tick struct {
		axis            weave.Axis
		channel, lo, hi int
	}
	seen := map[tick]bool{}
	add := func(axis weave.Axis, channel, at, most int) {
		if t := (tick{axis, channel, max(0, at-reach), min(most, at+reach)}); t.lo < t.hi {
			seen[t] = true
		}
	}
	width := int(k.cloth.Across)
	half := [2]int{k.gap[0] / 2, k.gap[1] / 2}
	for i, p := range l.Places {
		size := k.piece(patternKey{k.sizes[i], p.Turned})
		for _, y := range []int{p.Along, tops[p.Row]} {
			for _, x := range []int{p.Across, p.Across + size.Across} {
				if y > 0 {
					add(weave.Along, y, x, width)
				}
				if x > 0 && x < width {
					add(weave.Across, x, y, l.Length)
				}
			}
		}
	}
	var all []tick
	for t := range seen {
		all = append(all, t)
	}
	slices.SortFunc(all, func(a, b tick) int {
		return cmp.Or(cmp.Compare(a.axis, b.axis), cmp.Compare(a.channel, b.channel), cmp.Compare(a.lo, b.lo))
	})
	for _, t := range all {
		a, b := weave.Place{Across: float64(t.channel - half[0]), Along: float64(t.lo - half[1])}, weave.Place{Across: float64(t.channel - half[0]), Along: float64(t.hi - half[1])}
		if t.axis == weave.Along {
			a, b = weave.Place{Across: float64(t.lo - half[0]), Along: float64(t.channel - half[1])}, weave.Place{Across: float64(t.hi - half[0]), Along: float64(t.channel - half[1])}
		}
		k.ticks = append(k.ticks, paths.Polyline(k.grid.At(a), k.grid.At(b)))
	}
}
