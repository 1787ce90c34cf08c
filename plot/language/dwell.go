package language

import (
	"fmt"
	"time"

	"weftplot/profiles"
)

// DwellTime is how long [Dwell] lasts.
const DwellTime = 200 * time.Millisecond

// Dwell returns a line of G-code for a machine that moves nothing and lasts a while. A
// controller that answers it sooner answers dwells when it has queued them.
func Dwell(m profiles.Machine) string {
	return fmt.Sprintf("G4 P%g\n", m.GCode.Waits.Of(DwellTime.Seconds()))
}
