package cloth

import "weftplot/paths/weave"

// place returns a position on the weave, in channels.
func place(across, along float64) weave.Place { return weave.Place{Across: across, Along: along} }
