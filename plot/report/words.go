package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"weftplot/paths/label"
	"weftplot/plot"
	"weftplot/plot/figures"
)

// Words is a line of words that is drawn in single-line letters. Channels are counted
// from the rug's lower left corner as drawn.
type Words struct {
	Text       string `json:"text"`
	Layer      string `json:"layer"`
	Alphabet   string `json:"alphabet"`
	HeightRows int    `json:"height_rows"` // of a capital
	// FromChannels and ToChannels are the corners of the box that holds the line.
	FromChannels [2]float64 `json:"from_channels"`
	ToChannels   [2]float64 `json:"to_channels"`
	TurnDegrees  float64    `json:"turn_degrees"` // counter-clockwise, on the front of the rug
	OnWeave      bool       `json:"on_weave"`     // its straight lines are in channels
	// Straights are its lines in channels.
	Straights []WordsStraight `json:"straights"`
}

// WordsStraight is a line of a letter in its channel.
type WordsStraight struct {
	Axis     string     `json:"axis"`             // the coordinate that is fixed
	Channel  int        `json:"channel"`          // its number
	Channels [2]float64 `json:"from_to_channels"` // its ends along it
}

func wordsOf(j plot.Job) []Words {
	var out []Words
	for _, w := range j.Words {
		k := Words{
			Text: label.Clean(w.Text, label.Line), Layer: w.Layer, Alphabet: j.Settings.Alphabet, HeightRows: w.Height,
			FromChannels: [2]float64{w.Lo.Across, w.Lo.Along}, ToChannels: [2]float64{w.Hi.Across, w.Hi.Along},
			TurnDegrees: figures.Round(w.Turn * 180 / math.Pi), OnWeave: w.OnWeave, Straights: []WordsStraight{},
		}
		for _, s := range w.Straights {
			k.Straights = append(k.Straights, WordsStraight{s.Axis.String(), s.Channel, [2]float64{figures.Round(s.From), figures.Round(s.To)}})
		}
		out = append(out, k)
	}
	return out
}

// warnWords says how words are drawn that a person may have expected otherwise.
func (c *collector) warnWords() {
	var drawn, notes []string
	for _, w := range c.Words {
		middle := c.Grid.At(w.Lo).Lerp(c.Grid.At(w.Hi), 0.5)
		if !w.OnWeave {
			c.warnf(&middle, "words-off-the-weave", "the words %q are turned by %.4g degrees: their letters do not lie in channels", w.Text, w.Turn*180/math.Pi)
		}
		if w.Layer != plot.WordsLayer || w.Text != c.Settings.Words {
			drawn = append(drawn, fmt.Sprintf("%q %d rows high", w.Text, w.Height))
		}
		for _, n := range w.Notes {
			if !slices.Contains(notes, n) {
				notes = append(notes, n)
			}
		}
	}
	if len(drawn) > 0 {
		more := ""
		if n := len(drawn) - 5; n > 0 {
			drawn, more = drawn[:5], fmt.Sprintf(" and %d more", n)
		}
		c.warnf(nil, "words-in-letters", "text of the design is drawn in single-line letters, alphabet %s: %s%s", c.Settings.Alphabet, strings.Join(drawn, ", "), more)
	}
	for _, n := range notes {
		c.warnf(nil, "words-changed", "%s", n)
	}
}
