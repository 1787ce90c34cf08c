package letters

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/weave"
)

// RowsOf reads a height, in rows of holes ("9rows") or as a length, and returns it in
// rows of the weave: the nearest whole number to a length, at least 1. The error is a
// [fault.Error].
func RowsOf(text string, g weave.Grid) (int, error) {
	const help = `write rows of holes or a length, such as "9rows" or "20mm"`
	num := strings.TrimSpace(text)
	for _, unit := range []string{"rows", "row"} {
		n, ok := strings.CutSuffix(num, unit)
		if !ok {
			continue
		}
		rows, err := strconv.Atoi(strings.TrimSpace(n))
		if err != nil || rows < 1 {
			return 0, fault.Bad("", help, "%q is not a whole number of rows", text)
		}
		return rows, nil
	}
	l, err := paths.ParseLength(text)
	if err != nil {
		return 0, fault.Bad("", help, "%q is no height of letters", text)
	}
	rows := math.Round(float64(l) / g.Along)
	if !(rows >= 1) || rows > maxHeight {
		return 0, fault.Bad("", help, "%s is no height of letters: it is %.3g rows of holes", text, float64(l)/g.Along)
	}
	return int(rows), nil
}

// CheckHeight returns an error of kind [fault.Input] for a height that the alphabet is
// not drawn in.
func (a Alphabet) CheckHeight(rows int) error {
	a = a.orPlain()
	if rows < a.least {
		do := fmt.Sprintf("give %d rows or more", a.least)
		for _, b := range alphabets() {
			if b.least <= rows {
				do += fmt.Sprintf(", or take the alphabet %s, which begins at %d", b.name, b.least)
				break
			}
		}
		return fault.Bad("", do, "letters %d rows high are too low for the alphabet %s: its least height is %d rows", rows, a.name, a.least)
	}
	if rows > maxHeight {
		return fault.Bad("", fmt.Sprintf("give at most %d rows", maxHeight), "letters %d rows high are no lettering", rows)
	}
	return nil
}
