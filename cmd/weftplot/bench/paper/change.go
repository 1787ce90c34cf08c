package paper

import (
	"weftplot/paths"
	"weftplot/paths/fault"
)

// A Change is one of what was read from paper. Places are mm on the drawing.
type Change struct {
	Do           string  // strike, join, close, back, paper
	X, Y, Within float64 // the place, and how near to it
	X2, Y2       float64 // of the other end, to join two
	Width, Sheet string  // of the paper, to read it again
	Page         int     // of its file, 0 for the same
	// Corners of the sheet in a photo, in pixels; none for the same.
	Corners [][2]float64
}

// Asked returns what a person says of the paper after the change, who said was of it
// before. Corners stay as long as the page and the size of the sheet do.
func (q Change) Asked(was Asked) Asked {
	now := Asked{Width: q.Width, Sheet: q.Sheet, Page: q.Page, Corners: q.Corners}
	if now.Page == 0 {
		now.Page = was.Page
	}
	if len(now.Corners) == 0 && now.Page == was.Page && now.Sheet == was.Sheet {
		now.Corners = was.Corners
	}
	return now
}

// Done returns the scan with the change; again is the paper read again.
func (q Change) Done(s, again *Scan) (*Scan, error) {
	at, within := paths.Point{X: q.X, Y: q.Y}, min(max(q.Within, 0.5), 10)
	switch q.Do {
	case "strike":
		return s.Without(at, within)
	case "join":
		return s.Joined(at, paths.Point{X: q.X2, Y: q.Y2}, within)
	case "close":
		return s.Closed(at)
	case "back":
		return s.Again()
	case "paper":
		return again, nil
	}
	return nil, fault.Bad("", "", "lines cannot be changed like this")
}
