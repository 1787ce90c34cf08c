package job

import (
	"fmt"
	"strconv"
	"strings"

	"weftplot/paths"
	"weftplot/paths/fault"
	"weftplot/paths/inspect/loops"
	"weftplot/paths/weave"
)

// DefaultGauge is the room of a row of loops where nothing is said: loops take one to
// two channels by needle or hook and yarn (common practice).
const DefaultGauge = "2rows"

// GaugeOn returns the room that a row of loops takes on a weave. What is none is a
// [fault.Input].
func (s Settings) GaugeOn(g weave.Grid) (loops.Gauge, error) {
	rows, mm, err := parseGauge(or(s.Gauge, DefaultGauge))
	if err != nil {
		return loops.Gauge{}, fault.At("gauge", err)
	}
	if rows > 0 {
		return loops.Gauge{Across: rows * g.Across, Along: rows * g.Along}, nil
	}
	return loops.Gauge{Across: mm, Along: mm}, nil
}

// parseGauge reads "2rows" or "1.5rows" of holes, rows of loops a length such as
// "6/in", or a length; it returns rows of holes or mm.
func parseGauge(text string) (rows, mm float64, err error) {
	const do = `write rows of holes ("2rows"), rows of loops a length ("6/in") or a length ("4mm")`
	text = strings.TrimSpace(text)
	none := fault.Bad("", do, "%q is no room for a row of loops", text)
	for _, unit := range []string{"rows", "row"} {
		if n, ok := strings.CutSuffix(text, unit); ok {
			rows, err := strconv.ParseFloat(strings.TrimSpace(n), 64)
			if err != nil || !(rows >= 0.5 && rows <= 20) {
				return 0, 0, none
			}
			return rows, 0, nil
		}
	}
	if n, per, ok := strings.Cut(text, "/"); ok {
		count, err := strconv.ParseFloat(strings.TrimSpace(n), 64)
		if err != nil || !(count > 0) {
			return 0, 0, none
		}
		if per = strings.TrimSpace(per); per == "in" || per == "cm" {
			per = "1" + per
		}
		l, err := paths.ParseLength(per)
		if err != nil {
			return 0, 0, none
		}
		mm = float64(l) / count
	} else {
		l, err := paths.ParseLength(text)
		if err != nil {
			return 0, 0, none
		}
		mm = float64(l)
	}
	if !(mm >= 0.5 && mm <= 50) {
		return 0, 0, none
	}
	return 0, mm, nil
}

// GaugeWords says what room a row of loops takes on a weave: "a row of loops takes 2
// rows of holes, 4.2 mm across and 3.9 mm along".
func (s Settings) GaugeWords(g weave.Grid) string {
	rows, mm, err := parseGauge(or(s.Gauge, DefaultGauge))
	switch {
	case err != nil:
		return ""
	case rows == 1:
		return fmt.Sprintf("a row of loops takes 1 row of holes, %.1f mm across and %.1f mm along", g.Across, g.Along)
	case rows > 0:
		return fmt.Sprintf("a row of loops takes %g rows of holes, %.1f mm across and %.1f mm along", rows, rows*g.Across, rows*g.Along)
	}
	return fmt.Sprintf("a row of loops takes %.1f mm, %.1f rows of holes across and %.1f along", mm, mm/g.Across, mm/g.Along)
}
