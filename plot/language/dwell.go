package language

import "time"

// A dwell in G-code that moves nothing, and how long it lasts. A controller that
// answers it sooner answers dwells when it has queued them.
const (
	Dwell     = "G4 P0.2\n"
	DwellTime = 200 * time.Millisecond
)
