//go:build !unix

package sim

// connect puts the server behind a pipe in memory: this system has no
// pseudo-terminals. [Server.Path] stays empty.
func (s *Server) connect() error {
	s.connectPipe()
	return nil
}
