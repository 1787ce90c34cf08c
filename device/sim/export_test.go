package sim

import "weftplot/profiles"

// ServePipe is Serve behind a pipe in memory, whatever the system gives out.
func ServePipe(m profiles.Machine, factor float64) *Server {
	s := newServer(m, factor)
	s.connectPipe()
	s.begin()
	return s
}
