package bench

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"time"

	"weftplot/cmd/weftplot/bench/door"
	"weftplot/cmd/weftplot/bench/engine"
	"weftplot/cmd/weftplot/bench/memory"
	"weftplot/cmd/weftplot/bench/page"
	"weftplot/cmd/weftplot/bench/requests"
	"weftplot/cmd/weftplot/link"
	"weftplot/paths/fault"
	"weftplot/plot/disk"
)

// Options say how the page is served.
type Options struct {
	// Listen is the loopback address and port to serve on; port 0 takes a free
	// one.
	Listen string
	// Dir is the folder below which jobs are made.
	Dir string
	// Open names what is on the bench first: a design, or a job.toml; "" nothing.
	Open string
	// NoBrowser leaves the browser alone: the address is printed only.
	NoBrowser bool
	// Machine is the machine that new jobs begin with: the name of a built-in one, or a
	// file of its profile; "" is the one that was chosen last.
	Machine string
	// Memory is the folder of what is remembered; "" the user's own.
	Memory string
	// SimSpeed is how many times faster than life the simulated plotter runs; 0 is
	// 60.
	SimSpeed float64
	// Names are what the files of a job folder call a setting; see
	// [report.Options].
	Names func(setting string) string
	// Out gets the address, Err what else there is to say.
	Out, Err io.Writer
}

// Serve serves the page until ctx ends. A machine at work is then stopped, its
// pen lifted, before it returns. An address that is not of this computer alone
// is a [fault.Error].
func Serve(ctx context.Context, opt Options) error {
	addr, err := requests.Loopback(opt.Listen)
	if err != nil {
		return err
	}
	if opt.SimSpeed == 0 {
		opt.SimSpeed = link.SimSpeed
	}
	if opt.Memory == "" {
		opt.Memory = memory.User()
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	b := &bench{ctx: ctx, dir: opt.Dir, engine: engine.New(opt.Names), bodies: requests.Bodies{Patience: requests.Usual}, pages: door.NewPages(), memory: memory.Open(opt.Memory), simSpeed: opt.SimSpeed}
	if err := os.MkdirAll(opt.Dir, 0o777); err != nil {
		return fault.Bad("--dir", "name a folder that can be made", "%s cannot be made: %v", opt.Dir, disk.Cause(err))
	}
	if b.here, err = machineHere(opt.Machine); err != nil {
		return err
	}
	if opt.Open != "" {
		if err := b.openFile(opt.Open); err != nil {
			return err
		}
	}
	listener, err := net.Listen("tcp", addr.String())
	if err != nil {
		return fault.Bad(opt.Listen, "choose another port, or 0 for a free one", "the address cannot be served: %v", err)
	}
	secret, host := door.NewSecret(), listener.Addr().String()
	address := "http://" + host + "/#" + secret
	o := &door.Opener{}
	defer o.Remove()
	server := requests.Server(b.handler(host, secret, o.Remove))
	fmt.Fprintln(opt.Out, address)
	if !opt.NoBrowser {
		if err := o.Open(address); err != nil {
			fmt.Fprintf(opt.Err, "the browser did not open (%v): open the address yourself\n", err)
		}
	}
	served := make(chan error, 1)
	go func() { served <- server.Serve(listener) }()
	b.work.Go(func() { b.watch(ctx) })
	select {
	case err = <-served:
	case <-ctx.Done():
		err = nil
	}
	cancel()
	b.endSteering()
	b.work.Wait() // the machine comes to rest
	ending, stop := context.WithTimeout(context.Background(), 2*time.Second)
	defer stop()
	_ = server.Shutdown(ending) // what has not ended by then never will
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	return err
}

// handler is the whole of what is served.
func (b *bench) handler(host, secret string, seen func()) http.Handler {
	files := page.Files()
	open := map[string]bool{}
	for p := range files {
		open[p] = true
	}
	routes := b.routes()
	return door.NewGuard(host, secret, open, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		method := r.Method
		if method == http.MethodHead {
			method = http.MethodGet
		}
		if a, ok := files[r.URL.Path]; ok && method == http.MethodGet {
			a.Serve(w, r)
			return
		}
		if h, ok := routes[method+" "+r.URL.Path]; ok {
			h(w, r)
			return
		}
		http.Error(w, "there is nothing here", http.StatusNotFound)
	}), seen)
}
