package told

import (
	"weftplot/cmd/weftplot/bench/sheets"
)

// News is what a page asks for several times a second.
type News struct {
	Version int      `json:"version"`
	Lead    bool     `json:"lead"`
	Turn    string   `json:"turn"` // what the next motion is asked for with
	Status  Status   `json:"status"`
	Trouble *Trouble `json:"trouble"` // of the last run
	Number  int      `json:"number"`  // of the last run
	Steer   *Steer   `json:"steer"`
	Job     *Job     `json:"job,omitempty"` // only where the page's version is another
	Fresh   bool     `json:"fresh"`         // Job is told, also where there is none
}

// Status is what the machine is at.
type Status struct {
	Word    string  `json:"word"`
	Text    string  `json:"text"`
	Says    string  `json:"says"`   // how far it has got; it changes all the time
	Load    int     `json:"load"`   // of a kit, that is being drawn; else 0
	Copy    int     `json:"copy"`   // that is being drawn; 0 for none
	Moving  bool    `json:"moving"` // a machine is at work, or held
	Held    bool    `json:"held"`
	Asked   string  `json:"asked"`
	Confirm bool    `json:"confirm"` // the person is asked whether all is drawn
	Do      string  `json:"do"`
	Sim     bool    `json:"sim"`
	Drawn   float64 `json:"drawn_mm"`
	Total   float64 `json:"total_mm"`
	Left    float64 `json:"left_s"`
	Stroke  int     `json:"stroke"`
	Strokes int     `json:"strokes"`
	Proved  int     `json:"proved"`
	Layer   string  `json:"layer"`
}

// Steer is where the pen is while somebody looks for marks.
type Steer struct {
	Port  string        `json:"port"`
	At    [2]float64    `json:"at"`
	Place *[2]float64   `json:"place"`
	Next  *[2]float64   `json:"next"`
	Said  string        `json:"said"`
	Marks []sheets.Mark `json:"marks"`
	// Search is the search for a load, null for a rug that is drawn at once.
	Search *LoadSearch `json:"search"`
}

// LoadSearch is how far the points of a load are found. Says is the error to expect, and
// what comes next.
type LoadSearch struct {
	Load   int     `json:"load"`
	Of     int     `json:"of"`
	Points []Point `json:"points"`
	Point  int     `json:"point"` // where the pen was sent, or the one that is next, from 1; 0 for none
	// At is where the pen was sent, in channels; null before, and once that is marked.
	At     *[2]float64 `json:"at"`
	Enough bool        `json:"enough"`
	Says   string      `json:"says"`
}

// Point is a place of the cloth to be found. Place is in channels from the lower left corner
// of the whole cloth, as drawn.
type Point struct {
	Name  string     `json:"name"`
	Place [2]float64 `json:"place"`
	Found bool       `json:"found"`
}
