package live

import "weftplot/profiles"

// ServePipe is Serve behind a pipe in memory, even where the system has
// pseudo-terminals.
func ServePipe(m profiles.Machine, factor float64) *Server {
	s := newServer(m, factor)
	s.connectPipe()
	s.begin()
	return s
}
