package told

// Label is what the page calls a setting.
func Label(setting string) string {
	return map[string]string{
		"width": "Finished width", "height": "Finished height", "craft": "Craft", "transfer": "Transfer", "backing": "Backing", "count": "Count",
		"border": "Borders", "clearance": "Rows free inside the border", "machine": "Machine", "pen": "Pen", "pen-for": "Pen for", "marks": "Marks", "lay": "How the cloth lies",
		"snap": "Into a channel within", "stripes": "Spacings that repeat", "gauge": "A row of loops takes", "ticks": "Ticks at the edge",
		"hem": "Line of the hem", "fold": "Line to fold along", "cut": "Line to cut along", "first": "Drawn first", "diagonals": "Slanting lines", "channel": "Lines in a channel of their own", "no-snap": "Into a channel within: off",
		"repeat": "Motif", "repeat-height": "Height of the motif", "repeat-gap": "Rows empty between motifs", "repeat-give": "What gives", "repeat-corner": "In the corners",
		"margin": "Backing left round the rug",
		"copies": "How many", "names": "For whom", "cloth": "Cloth", "gap": "Cloth between two rugs", "turn": "Turned copies",
		"panels": "Draw it in several loads", "lap": "Lines go past each other by", "marks-for": "weftplot prepare --marks-for",
		"really": "the button below",
		"page":   "Page of the file", "paper": "Sheet of paper", "corners": "The corners of the sheet",
		"print": "Paper", "print-margin": "Margin of the printer", "printer-scale": "Scale of the printer", "overlap": "Overlap of the sheets",
		"print-line": "Width of printed lines", "print-grey": "Paleness of printed lines", "border-on": "The border", "iron": "Sole of the iron",
	}[setting]
}
