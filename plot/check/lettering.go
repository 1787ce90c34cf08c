package check

import (
	"fmt"
	"strings"
	"unicode"

	"weftplot/paths"
	"weftplot/plot/figures"
	"weftplot/plot/job"
)

// letterWords are the beginnings of words in the usual names of lettering layers.
var letterWords = []string{
	"text", "letter", "word", "writing", "script", "title", "caption", "motto", "verse", "initial", "monogram",
	"inscription", "alphabet", "numeral", "signature", "date",
}

// looksLikeLettering reports whether a word of a layer's name says so. Words
// end where letters do, and where a small letter is followed by a capital.
func looksLikeLettering(name string) bool {
	var b strings.Builder
	last := ' '
	for _, c := range name {
		if !unicode.IsLetter(c) || unicode.IsLower(last) && unicode.IsUpper(c) {
			b.WriteByte(' ')
		}
		if unicode.IsLetter(c) {
			b.WriteRune(unicode.ToLower(c))
		}
		last = c
	}
	for _, word := range strings.Fields(b.String()) {
		for _, w := range letterWords {
			if strings.HasPrefix(word, w) {
				return true
			}
		}
	}
	return false
}

// lettering reports which way each layer that looks like lettering will read, and
// text that is not drawn. toRug leads to the finished rug; nil when
// its size is not known.
func lettering(d paths.Design, s job.Settings, toRug *paths.Affine) []Finding {
	var out []Finding
	reads := readsHow(s.Craft, s.Transfer)
	for _, l := range d.Layers {
		all, text := paths.EmptyRect(), paths.EmptyRect()
		for _, k := range l.Strokes {
			if toRug == nil {
				continue
			}
			b := k.Transform(*toRug).Bounds()
			all = all.Union(b)
			if strings.EqualFold(k.Element, "text") {
				text = text.Union(b)
			}
		}
		f := Finding{Code: FoundLettering, Layer: l.Name, Message: reads}
		switch {
		case hasText(l):
			all = text
		case !looksLikeLettering(l.Name):
			continue
		}
		if toRug != nil {
			c := all.Centre()
			f.At = &[2]float64{figures.Round(c.X), figures.Round(c.Y)}
		}
		out = append(out, f)
	}
	out = append(out, wordsReading(d, s, toRug)...)
	for _, n := range d.Notes {
		if n.Code == "text-not-drawn" {
			return append(out, Finding{Code: FoundLettering, Message: "the text that is not drawn: turned into lines, " + reads})
		}
	}
	return out
}

func hasText(l paths.Layer) bool {
	for _, k := range l.Strokes {
		if strings.EqualFold(k.Element, "text") {
			return true
		}
	}
	return false
}

// readsHow says which way words read on the paper, the backing and the rug. Only the
// craft decides how they read on the backing; an iron turns the paper over.
func readsHow(c job.Craft, t job.Transfer) string {
	way := func(backwards bool) string {
		if backwards {
			return "backwards"
		}
		return "right"
	}
	on := ""
	switch t {
	case job.Tracing:
		on = fmt.Sprintf("%s on the paper to trace, ", way(job.Mirrored(c, t)))
	case job.IronOn:
		on = fmt.Sprintf("%s on the paper to iron on, ", way(job.Mirrored(c, t)))
	}
	return fmt.Sprintf("it will read %s%s on the backing and right on the finished rug, unless the file has it backwards already", on, way(c == job.PunchNeedle))
}

// wordsReading returns the findings that say which way words in single-line letters
// will read. toRug leads to the finished rug; nil when its size is not known.
func wordsReading(d paths.Design, s job.Settings, toRug *paths.Affine) []Finding {
	var out []Finding
	seen := map[string]bool{}
	for _, w := range d.Words {
		if seen[w.Layer] {
			continue
		}
		seen[w.Layer] = true
		f := Finding{Code: FoundLettering, Layer: w.Layer, Message: readsHow(s.Craft, s.Transfer)}
		if toRug != nil {
			at := toRug.Apply(w.At)
			f.At = &[2]float64{figures.Round(at.X), figures.Round(at.Y)}
		}
		out = append(out, f)
	}
	return out
}
