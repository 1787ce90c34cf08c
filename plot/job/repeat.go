package job

import (
	"math"
	"slices"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// What gives so that a row of motifs closes on all sides.
const (
	GiveGap   = "gap"   // the gaps between motifs
	GiveMotif = "motif" // the width of the motif
	GiveSize  = "size"  // the size of the rug
)

// What stands in the corners of a row of motifs, if no other motif.
const (
	CornerEmpty = "empty" // nothing
	CornerMitre = "mitre" // the row goes on, cut along the slanting line of the corner
)

// RepeatGap are the rows of holes left empty between motifs where nothing is said.
const RepeatGap = 2

// Ways are the ways in which a row of motifs can be made to close.
var Ways = []string{GiveGap, GiveMotif, GiveSize}

// RepeatWay returns what gives.
func (s Settings) RepeatWay() string { return or(s.RepeatGive, GiveGap) }

// RepeatLayers returns the layers that are motifs and no artwork.
func (s Settings) RepeatLayers() []string {
	switch {
	case s.Repeat == "":
		return nil
	case s.CornerIsMotif():
		return []string{s.Repeat, s.RepeatCorner}
	}
	return []string{s.Repeat}
}

// CornerIsMotif reports whether another motif stands in the corners.
func (s Settings) CornerIsMotif() bool {
	return !slices.Contains([]string{"", CornerEmpty, CornerMitre}, s.RepeatCorner)
}

// RepeatRows returns how many rows of holes stay empty between motifs. What is no number
// is a [fault.Input].
func (s Settings) RepeatRows() (int, error) {
	if s.RepeatGap == "" {
		return RepeatGap, nil
	}
	n, ok := rowsOfHoles(s.RepeatGap)
	if !ok {
		return 0, fault.Bad("repeat-gap", "give a number of rows of holes from 0 to 1000", "%q is no gap between motifs", s.RepeatGap)
	}
	return n, nil
}

// RepeatDeep returns how high a motif is in channels that is drawn so many mm high. What
// is no height is a [fault.Input].
func (s Settings) RepeatDeep(drawn float64, sized bool, g weave.Grid) (int, error) {
	deep := int(math.Round(drawn / g.Along))
	if s.RepeatHeight != "" {
		rows, ok, err := paths.ParseRows(s.RepeatHeight)
		if !ok {
			var l paths.Length
			l, err = ParseSize(s.RepeatHeight)
			rows = int(math.Round(float64(l) / g.Along))
		}
		if err != nil {
			return 0, fault.At("repeat-height", err)
		}
		deep = rows
	} else if !sized {
		return 0, fault.Bad("repeat-height", "say how high the motif is, such as 12rows", "the design states no size, and none was given for the motif")
	}
	if deep < 2 || deep > 10_000 {
		return 0, fault.Bad("repeat-height", "say how high the motif is, such as 12rows", "a motif cannot be %d rows of holes high", deep)
	}
	return deep, nil
}

// validateRepeat checks what is said of motifs.
func (s Settings) validateRepeat() error {
	if s.Repeat == "" {
		if s.RepeatHeight+s.RepeatGap+s.RepeatGive+s.RepeatCorner != "" {
			return fault.Bad("repeat", "name the layer of the motif with it", "something is said of motifs, and no layer is repeated")
		}
		return nil
	}
	if rows, err := s.BorderRows(); err != nil || rows == nil {
		return fault.Bad("repeat", "give a [border], such as edge", "a row of motifs runs along the border, and there is none")
	}
	if s.CornerIsMotif() && s.RepeatCorner == s.Repeat {
		return fault.Bad("repeat-corner", "give another layer, mitre or empty", "the motif of the sides cannot be that of the corners")
	}
	if !slices.Contains(Ways, s.RepeatWay()) {
		return fault.Bad("repeat-give", "use gap, motif or size", "%q cannot give so that motifs fit", s.RepeatGive)
	}
	_, err := s.RepeatRows()
	return err
}
