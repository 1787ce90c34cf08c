package requests

import (
	"net/http"
	"net/netip"
	"time"

	"weftplot/paths/fault"
)

// Server returns a server that bounds what a connection may cost.
func Server(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: headTime, ReadTimeout: Usual.Data + headTime, WriteTimeout: 2 * Usual.Data, IdleTimeout: time.Minute,
		MaxHeaderBytes:               16 << 10,
		DisableGeneralOptionsHandler: true, // every answer is the door's
	}
}

// Loopback reads an address that only this computer can reach.
func Loopback(listen string) (netip.AddrPort, error) {
	const do = "give an address of this computer alone, such as 127.0.0.1:8080, or 127.0.0.1:0 for a free port"
	addr, err := netip.ParseAddrPort(listen)
	if err != nil {
		return addr, fault.Bad("--listen", do, "%q is no address with a port", listen)
	}
	if !addr.Addr().IsLoopback() || addr.Addr().Zone() != "" {
		return addr, fault.Bad("--listen", do, "%s can be reached from other computers, and the page moves machines", listen)
	}
	return addr, nil
}
