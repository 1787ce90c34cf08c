package lex

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"
)

// number is the grammar of a number (SVG 2, Paths; "1." is SVG 1.1's).
var number = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?`)

// A number ends where the grammar ends it, and is to the last bit what strconv makes of it.
func TestNumberAgainstGrammar(t *testing.T) {
	texts := []string{"", "-", ".", "-.", "-0", "+0.0", ".5", "5.", "1.5.5", "1-2", "1e", "1em", "1e5", "1E-3x", "12e+", "0.1", "1e999", "9007199254740993", "999999999999999", "1234567890123456", "0.000000000000001", "0.0000000000000012", "123456789.0123456", "00000000000000000001"}
	rnd := rand.New(rand.NewPCG(2, 9))
	for range 20_000 {
		text := make([]byte, rnd.IntN(20))
		for i := range text {
			text[i] = "0123456789012345678901234567899999..-+eE m"[rnd.IntN(42)]
		}
		texts = append(texts, string(text))
	}
	for range 5000 {
		texts = append(texts, strconv.FormatFloat(rnd.NormFloat64()*1000, 'f', rnd.IntN(14), 64))
	}
	for _, text := range texts {
		s := Scanner{Text: text}
		got, ok := s.Number()
		found := number.FindString(text)
		want, _ := strconv.ParseFloat(found, 64)
		if ok != (found != "") || s.At != len(found) || math.Float64bits(got) != math.Float64bits(want) {
			t.Fatalf("%q: %v of %q, %v; want %v of %q", text, got, text[:s.At], ok, want, found)
		}
	}
}
