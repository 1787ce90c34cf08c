package job

import (
	"fmt"
	"strconv"

	"github.com/pelletier/go-toml/v2"

	"weftplot/paths"
	"weftplot/paths/weave/cloth/models"
)

// followed says what holds of settings whose default is no value of [Settings]: it
// follows from an input, or the zero value stands for it.
var followed = map[string]string{
	"width":        "the design's own",
	"height":       "the design's own",
	"count":        "the backing's",
	"margin":       "the backing's",
	"border":       "none",
	"alphabet":     "plain",
	"words":        "none",
	"words-at":     WordsBottom,
	"words-height": WordsHeight,
	"fit":          models.Names[0],
	"at":           "the middle of the machine",
	"lay":          Upright,
	"lap":          paths.Length(defaultLap).String(),
	"language":     "the machine's",
	"print":        "none",
	"overlap":      usualOverlap.String(),
	"border-on":    BorderOnMachine,
	"least":        LeastTravel,

	"units":         "what the design's file says",
	"skip":          "none",
	"font":          "none",
	"words-shift":   "0,0",
	"hem":           "none",
	"fold":          "none",
	"cut":           "none",
	"stripes":       StripesEven,
	"stripes-for":   "none",
	"diagonals":     DiagonalsOn,
	"channel":       "none",
	"repeat":        "none",
	"repeat-height": "as drawn",
	"repeat-gap":    strconv.Itoa(RepeatGap),
	"repeat-give":   GiveGap,
	"repeat-corner": CornerEmpty,
	"snap-for":      "none",
	"gauge":         DefaultGauge,
	"marks":         "none",
	"marks-for":     "none",
	"pen-for":       "none",
	"copies":        "a single rug",
	"names":         "none",
	"cloth":         ClothWidth,
	"gap":           "twice the margin",
	"print-margin":  "the paper's, as is common",
	"printer-scale": "100%",
	"print-line":    "what suits the transfer",
	"print-grey":    "what suits the transfer",
	"iron":          householdIron,
	"first":         "the border",
}

// DefaultText returns what holds of the setting called name where nothing is said of
// it, as a person would write it or in words; "" where there is nothing to say, as of
// a switch.
func DefaultText(name string) string {
	text, err := Settings{}.Format()
	if err != nil {
		panic("job: " + err.Error()) // constants are written out
	}
	var values map[string]any
	if err := toml.Unmarshal(text, &values); err != nil {
		panic("job: " + err.Error())
	}
	if v, ok := values[name]; ok && v != false && v != "" {
		return fmt.Sprint(v)
	}
	return followed[name]
}
