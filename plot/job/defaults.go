package job

import (
	"fmt"

	"github.com/pelletier/go-toml/v2"

	"weftplot/paths/weave/cloth"
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
	"fit":          cloth.Models[0],
	"at":           "the middle of the machine",
	"lay":          Upright,
	"language":     "the machine's",
	"print":        "none",
	"overlap":      usualOverlap.String(),
	"border-on":    BorderOnMachine,
	"least":        LeastTravel,
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
