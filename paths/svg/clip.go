package svg

func (r *reader) clipToViewport(n *node, c *context, w, h float64) {}

func (r *reader) clipBy(n *node, c *context) {
	if id, _, ok := urlID(c.style.own.clipPath); ok && r.byID[id] != nil {
		r.notes.add(n, "clip-not-applied", "A clip path is not applied; lines are drawn that it may hide.")
	}
}
