package outline

// isTinted reports whether a fill that is laid into a cell is sheer and would show there only
// a colour that higher ones show all over the cell already.
func (p *plane) isTinted(c *cell, l layer) bool {
	f := &p.fills[l.fill]
	if !f.Sheer || l.windowed || p.through[l.fill] != nil {
		return false
	}
	p.budget -= len(c.across) / 8
	for _, higher := range c.across {
		g := &p.fills[higher]
		if higher > l.fill && g.Sheer && g.Colour == f.Colour && p.through[higher] == nil {
			return true
		}
	}
	return false
}
